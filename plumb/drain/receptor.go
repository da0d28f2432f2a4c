package drain

import "math"

// Receptor is what the way out empties into. The zero Receptor takes whatever
// comes: the ground, a building drain through an air gap.
type Receptor struct {
	// Volume is what a can, or the voids of a soakaway, holds in m³; 0 takes
	// everything.
	Volume float64
	// Deep is the height in m of a can from its floor to its lip.
	Deep float64
	// Dips is set where the end of the way hangs into the can, End m above its
	// floor; it is under water as soon as the water stands higher.
	Dips bool
	End  float64
	// Soaks is the flow in m³/s that goes into the soil while there is water.
	Soaks float64
	// Swap is the time in s for which a full can is away, after which an empty
	// one stands there; 0 leaves the full one.
	Swap float64
}

// Tail is the height of water in m above the end of the way.
func (r *Receptor) Tail(held float64) float64 {
	if !r.Dips || r.Volume == 0 {
		return 0
	}
	return max(0, r.Deep*min(held/r.Volume, 1)-r.End)
}

// Check reports the first figure that makes no sense.
func (r *Receptor) Check() error {
	for _, c := range []struct {
		what string
		v    float64
	}{{"the volume", r.Volume}, {"the depth of the can", r.Deep}, {"the height of the hose end", r.End}, {"what soaks away", r.Soaks}, {"the time of the swap", r.Swap}} {
		if !(c.v >= 0) || math.IsInf(c.v, 0) {
			return &DimensionError{c.what, c.v, "not below 0"}
		}
	}
	if r.Dips {
		return positive("the volume of the can", r.Volume, "the depth of the can", r.Deep)
	}
	return nil
}
