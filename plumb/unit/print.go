package unit

import (
	"math"
	"strconv"
	"strings"
)

// sig writes x with n significant digits, without exponent or idle zeros.
// What is not a number is unknown.
func sig(x float64, n int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "unknown"
	}
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', n-1, 64), 64)
	if v == 0 {
		v = 0 // no minus zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// figures writes x as gauges and buckets are read: two digits below ten,
// three above.
func figures(x float64) string {
	if math.Abs(x) < 9.95 {
		return sig(x, 2)
	}
	return sig(x, 3)
}

func with(number, unit string) string {
	if number == "unknown" {
		return number
	}
	return number + " " + unit
}

func both(us, si string) string {
	if us == si {
		return us
	}
	return us + " (" + si + ")"
}

// US writes inches to the nearest 1/16, from 2 ft on feet and inches. A length
// too small for that is written in decimals, so only nothing is written as 0.
func (q Length) US() string {
	in := float64(q / Inch)
	n := math.Round(math.Abs(in) * 16)
	if !(n < 1e15) {
		return with(sig(float64(q/Foot), 3), "ft")
	}
	if n == 0 && in != 0 {
		return sig(in, 2) + " in"
	}
	var b strings.Builder
	if in < 0 {
		b.WriteByte('-')
	}
	k := int(n)
	feet := 0
	if k >= 24*16 {
		feet, k = k/(12*16), k%(12*16)
		b.WriteString(strconv.Itoa(feet) + " ft")
	}
	if k > 0 || feet == 0 {
		if feet > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(mixedNumber(k, 16) + " in")
	}
	return b.String()
}

// SI writes millimetres below 1 m and metres above, to three digits.
func (q Length) SI() string {
	if math.Abs(float64(q)) < 0.9995 {
		return with(sig(float64(q)*1e3, 3), "mm")
	}
	return with(sig(float64(q), 3), "m")
}

// Both writes US units with SI in brackets.
func (q Length) Both() string { return both(q.US(), q.SI()) }

// US writes psi.
func (q Pressure) US() string { return with(figures(float64(q/PSI)), "psi") }

// SI writes bar, below 1 bar kPa.
func (q Pressure) SI() string {
	if math.Abs(float64(q)) < 0.995e5 {
		return with(figures(float64(q)/1e3), "kPa")
	}
	return with(figures(float64(q)/1e5), "bar")
}

// Both writes US units with SI in brackets.
func (q Pressure) Both() string { return both(q.US(), q.SI()) }

// US writes gallons per minute, for a drip gallons per hour.
func (q Flow) US() string {
	if q != 0 && math.Abs(float64(q/GPM)) < 0.0995 {
		return with(figures(float64(q/GPM)*60), "gph")
	}
	return with(figures(float64(q/GPM)), "gpm")
}

// SI writes litres per minute, for a drip litres per hour.
func (q Flow) SI() string {
	if q != 0 && math.Abs(float64(q/LitrePerMinute)) < 0.375 {
		return with(figures(float64(q/LitrePerMinute)*60), "L/h")
	}
	return with(figures(float64(q/LitrePerMinute)), "L/min")
}

// Both writes US units with SI in brackets.
func (q Flow) Both() string { return both(q.US(), q.SI()) }

// US writes gallons, below a quart fluid ounces.
func (q Volume) US() string {
	if q != 0 && math.Abs(float64(q/Gallon)) < 0.2495 {
		return with(figures(float64(q/FluidOunce)), "fl oz")
	}
	return with(figures(float64(q/Gallon)), "gal")
}

// SI writes litres, below 1 L mL, from 10 000 L on m³.
func (q Volume) SI() string {
	switch a := math.Abs(float64(q)); {
	case q != 0 && a < 0.995e-3:
		return with(figures(float64(q)*1e6), "mL")
	case a >= 9.995:
		return with(figures(float64(q)), "m³")
	}
	return with(figures(float64(q)*1e3), "L")
}

// Both writes US units with SI in brackets.
func (q Volume) Both() string { return both(q.US(), q.SI()) }

// US writes the time; it is the same in both systems.
func (q Duration) US() string {
	v := math.Abs(float64(q))
	if !(v < 1e15) {
		return with(sig(float64(q/Day), 3), "days")
	}
	minus := ""
	if q < 0 {
		minus = "-"
	}
	if v < 59.95 {
		return minus + sig(v, 3) + " s"
	}
	if s := int(math.Round(v)); s < 3600 {
		return minus + two(s/60, "min", s%60, "s")
	}
	if m := int(math.Round(v / 60)); m < 48*60 {
		return minus + two(m/60, "h", m%60, "min")
	}
	h := int(math.Round(v / 3600))
	return minus + two(h/24, "days", h%24, "h")
}

func two(a int, ua string, b int, ub string) string {
	s := strconv.Itoa(a) + " " + ua
	if b > 0 {
		s += " " + strconv.Itoa(b) + " " + ub
	}
	return s
}

// SI writes the time; it is the same in both systems.
func (q Duration) SI() string { return q.US() }

// Both writes the time once.
func (q Duration) Both() string { return q.US() }

// US writes inches per foot, to the nearest 1/16.
func (q Slope) US() string {
	in := float64(q) * 12
	n := math.Round(math.Abs(in) * 16)
	if !(n < 1e15) || n == 0 && in != 0 {
		return with(sig(in, 2), "in per ft")
	}
	minus := ""
	if in < 0 {
		minus = "-"
	}
	return minus + mixedNumber(int(n), 16) + " in per ft"
}

// SI writes millimetres per metre.
func (q Slope) SI() string { return with(figures(float64(q)*1e3), "mm per m") }

// Both writes US units with SI in brackets.
func (q Slope) Both() string { return both(q.US(), q.SI()) }

// US writes the slope in US units, or the word.
func (f Fall) US() string { return f.or(f.Slope.US()) }

// SI writes the slope in SI units, or the word.
func (f Fall) SI() string { return f.or(f.Slope.SI()) }

// Both writes US units with SI in brackets, or the word.
func (f Fall) Both() string { return f.or(f.Slope.Both()) }

func (f Fall) or(rate string) string {
	if f.Word != "" {
		return f.Word
	}
	return rate
}

// US writes degrees Fahrenheit.
func (q Temperature) US() string { return with(degrees(q.Fahrenheit()), "°F") }

// SI writes degrees Celsius.
func (q Temperature) SI() string { return with(degrees(q.Celsius()), "°C") }

// Both writes US units with SI in brackets.
func (q Temperature) Both() string { return both(q.US(), q.SI()) }

// degrees writes a temperature to a tenth of a degree below 100.
func degrees(t float64) string {
	if math.Abs(t) < 99.95 {
		return sig(math.Round(t*10)/10, 3)
	}
	return sig(t, 3)
}

// US writes square inches, from 1 ft² on square feet.
func (q Area) US() string {
	if math.Abs(float64(q/SquareFoot)) < 0.9995 {
		return with(sig(float64(q/SquareInch), 3), "sq in")
	}
	return with(sig(float64(q/SquareFoot), 3), "sq ft")
}

// SI writes square millimetres, from 0.1 m² on square metres.
func (q Area) SI() string {
	if math.Abs(float64(q)) < 0.09995 {
		return with(sig(float64(q)*1e6, 3), "mm²")
	}
	return with(sig(float64(q), 3), "m²")
}

// Both writes US units with SI in brackets.
func (q Area) Both() string { return both(q.US(), q.SI()) }
