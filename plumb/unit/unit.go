// Package unit holds quantities with their dimension in the type, reads them
// as people type them, and prints them in US and SI units.
//
// Every quantity is a float64 in SI inside. A unit is required wherever leaving
// it out would be a guess, and where a text has two readings both are offered
// instead of one being chosen. Parsers return *Error, never panic, and refuse
// values no plumbing can have.
//
// Factors are those of NIST Special Publication 811 (2008 edition, Appendix B):
// exact where the unit is defined exactly, and then written as their definition.
//
// Not in here: anything that knows what a pipe is. A Size is a name the trade
// gives, not a dimension; dimensions belong to the catalogue.
package unit

// Length in metres; parsed from -10 km to 10 km.
type Length float64

// Pressure in pascal above the surrounding air (gauge); parsed from a full
// vacuum to 100 MPa.
type Pressure float64

// Flow in cubic metres per second; parsed from 0 to 10 m³/s.
type Flow float64

// Volume in cubic metres; parsed from 0 to 1 000 000 m³.
type Volume float64

// Duration in seconds; parsed from 0 to 3660 days.
type Duration float64

// Slope is rise over run, positive downhill for a drain, negative uphill;
// parsed from -10 to 10.
type Slope float64

// Temperature in kelvin; parsed from 200 K to 650 K, which takes in every
// frost and every state in which water is a liquid.
type Temperature float64

// Area in square metres.
type Area float64

// Lengths. The inch is 25.4 mm and the foot 0.3048 m exactly (international
// yard and pound agreement of 1959; NIST SP 811 B.6).
const (
	Millimetre Length = 1e-3
	Metre      Length = 1
	Inch       Length = 0.0254
	Foot       Length = 12 * Inch
	Yard       Length = 3 * Foot
)

// Pressures. The psi is the pound-force (0.45359237 kg × 9.80665 m/s²) on a
// square inch: 6894.757293168… Pa (NIST SP 811 B.8 rounds to 6.894 757 E+03).
const (
	KPa Pressure = 1e3
	MPa Pressure = 1e6
	Bar Pressure = 1e5
	PSI Pressure = 0.45359237 * 9.80665 / (0.0254 * 0.0254)

	// MetreOfWater is the conventional metre of water: standard gravity,
	// 9.80665 m/s², on a density of exactly 1000 kg/m³. The conventional foot,
	// 2989.067 Pa, follows from it (NIST SP 811 B.8, "foot of water,
	// conventional"). It is chosen over the foot of water at 39.2 °F
	// (2988.98 Pa, density 999.972 kg/m³) because it is exact and the same in
	// feet and metres; the two differ by 0.003 %, water between 32 °F and
	// 68 °F by up to 0.18 %, both far below what a gauge shows.
	MetreOfWater Pressure = 9806.65
	FootOfWater  Pressure = 0.3048 * MetreOfWater
)

// Volumes. The US gallon is 231 in³ = 3.785411784 L exactly, the imperial
// gallon 4.54609 L exactly (NIST SP 811 B.8; NIST Handbook 44 Appendix C).
const (
	Litre          Volume = 1e-3
	Gallon         Volume = 231 * CubicInch
	Quart          Volume = Gallon / 4
	Pint           Volume = Gallon / 8
	FluidOunce     Volume = Gallon / 128
	ImperialGallon Volume = 4.54609e-3
	CubicInch      Volume = 0.0254 * 0.0254 * 0.0254
	CubicFoot      Volume = 0.3048 * 0.3048 * 0.3048
)

// Flows. GPM is the US gallon per minute.
const (
	GPM            Flow = Flow(Gallon) / 60
	LitrePerMinute Flow = 1e-3 / 60
	LitrePerSecond Flow = 1e-3
)

// Durations.
const (
	Second Duration = 1
	Minute Duration = 60
	Hour   Duration = 3600
	Day    Duration = 86400
)

// Areas.
const (
	SquareInch Area = 0.0254 * 0.0254
	SquareFoot Area = 0.3048 * 0.3048
)

// Celsius makes a temperature from degrees Celsius (NIST SP 811 B.8).
func Celsius(t float64) Temperature { return Temperature(t + 273.15) }

// Fahrenheit makes a temperature from degrees Fahrenheit (NIST SP 811 B.8).
func Fahrenheit(t float64) Temperature { return Temperature((t + 459.67) / 1.8) }

// Celsius gives the temperature in degrees Celsius.
func (q Temperature) Celsius() float64 { return float64(q) - 273.15 }

// Fahrenheit gives the temperature in degrees Fahrenheit.
func (q Temperature) Fahrenheit() float64 { return float64(q)*1.8 - 459.67 }
