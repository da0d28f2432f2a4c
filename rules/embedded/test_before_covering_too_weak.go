package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func testBeforeCoveringTooWeak() *rules.Rule {
	return &rules.Rule{
		ID:    "test-before-covering-too-weak",
		Title: "the test before covering has pressure enough and time enough",
		Why: "A test below the pressure the pipe will carry proves nothing, and a slow drip needs time to show on " +
			"the gauge.",
		Limits: "The working pressure is the highest the file states for a source or a reading. Some cities want " +
			"much more. Whether it is made with air or with water is taken from the words `air` and `water` in `tested:`.",
		Params: []rules.Param{
			{Name: "air-pressure", What: "pressure of a test with air, and least pressure where the working pressure is not known", Kind: rules.PressureParam},
			{Name: "hold", What: "how long the pressure must stand", Kind: rules.DurationParam},
		},
		Check: func(p *rules.Pass) {
			working, air, hold := workingPressure(p.Run), p.Pressure("air-pressure"), p.Duration("hold")
			covered, plastic := map[int]bool{}, plasticLines(p.Run)
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if judged(p.Run, j) && fresh(p.Run, j) && j.Place.Medium.Covered() {
					covered[lineOf(p.Run, j)] = true
				}
			}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				t := &j.Test
				if !t.Said || t.None || !covered[lineOf(p.Run, j)] || p.Run.Parts[j.B.Part].Service != plumb.Water ||
					t.Air == plumb.Yes && plastic[lineOf(p.Run, j)] != nil {
					continue // plastic-tested-with-air speaks: that test is made again
				}
				f := p.AtJoint(i)
				f.Span = t.Span
				pressure := weakness(t, working, air)
				switch {
				case pressure == tooLow:
					f.Message = fmt.Sprintf("the test at %s is below %s", t.Pressure.V.Both(), limitText(t, working, air))
					f.Remedy = "Test again, with water at no less than the working pressure, while it can still be seen."
				case t.Hold.Known && t.Hold.V < hold:
					f.Message = fmt.Sprintf("the test was held for %s only; %s are asked for", t.Hold.V.US(), hold.US())
					f.Remedy = "Test again and let the pressure stand longer."
				case pressure == airOnly:
					f.Unknown = true
					f.Message = fmt.Sprintf("a test at %s is enough with air but not with water: the line works at %s",
						t.Pressure.V.Both(), working.V.Both())
					f.Remedy = "Test with water at no less than the working pressure."
					f.Ask = []plumb.Question{{
						What: "was it tested with air or with water?", How: "ask who tested it",
						Answers: []plumb.Answer{
							{If: "air, on metal pipe", Then: "it was enough; write air behind the pressure, and this falls away"},
							{If: "water", Then: "test again at the working pressure"},
						},
					}}
				case !t.Pressure.Known || !t.Hold.Known:
					f.Unknown = true
					f.Message = "a test is written without " + missing(t)
					f.Remedy = "Write both, as in tested: " + p.Term("test") + "."
					f.Ask = []plumb.Question{{
						What: "at what pressure was it tested, and for how long?", How: "read the gauge and the clock when testing",
						Answers: []plumb.Answer{
							{If: fmt.Sprintf("at least %s, for %s or longer", limitText(t, working, air), hold.US()), Then: "this falls away"},
							{If: "less, or nobody knows", Then: "test again before covering"},
						},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}

// workingPressure is the highest pressure the file states for the supply.
func workingPressure(run *plumb.Run) (w plumb.Opt[unit.Pressure]) {
	see := func(v unit.Pressure) { w = plumb.Some(max(v, w.V)) }
	for i := range run.Sources {
		if k := run.Sources[i].KeptAt; k.Known {
			see(k.V[1])
		}
	}
	for i := range run.Readings {
		if k := run.Readings[i].Pressure; k.Known {
			see(k.V)
		}
	}
	return w
}

// grade is how good the pressure of a test is.
type grade uint8

const (
	enough  grade = iota
	tooLow        // with water and with air
	airOnly       // enough with air, too low with water
)

// weakness grades a test. Codes take water at the working pressure or air at a
// fixed one; where the working pressure is not known the fixed one is asked for.
func weakness(t *plumb.Test, working plumb.Opt[unit.Pressure], air unit.Pressure) grade {
	test := t.Pressure
	switch {
	case !test.Known:
		return enough
	case t.Air == plumb.Yes:
		if test.V < air {
			return tooLow
		}
		return enough
	case working.Known && test.V >= working.V:
		return enough
	case test.V < air, working.Known && t.Air == plumb.No:
		return tooLow
	case working.Known:
		return airOnly
	}
	return enough
}

func limitText(t *plumb.Test, working plumb.Opt[unit.Pressure], air unit.Pressure) string {
	if working.Known && (t.Air == plumb.No || t.Air == plumb.Unknown && working.V < air) {
		return "the working pressure, " + working.V.Both()
	}
	return air.Both()
}

func missing(t *plumb.Test) string {
	switch {
	case !t.Pressure.Known && !t.Hold.Known:
		return "pressure and time"
	case !t.Pressure.Known:
		return "its pressure"
	}
	return "the time it was held"
}
