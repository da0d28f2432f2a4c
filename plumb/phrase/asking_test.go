package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/plumb"
)

// asking are phrases that leave something to ask, with the words the question is at
// and what it says; where both are empty any question will do. The part is read all
// the same.
var asking = []struct {
	text, at, msg string
	choices       []string
}{
	// letters and words of several meanings
	{`1/2 S coupling`, `S`, `may be read in more than one way`, []string{"solder cup", "socket", "S-CTS"}},
	{`1/2 slip coupling S`, `S`, `may be read in more than one way`, []string{"solder cup", "socket", "S-CTS"}},
	{`3/4 NST x 1/2 MIP adapter`, `NST`, `is the fire hose thread, with another pitch than garden hose`, []string{"MHT", "FHT"}},
	{`PRV 3/4`, `PRV`, `may be one of several parts`, []string{"pressure regulator", "relief valve"}},
	{`3/4 PRV, brass`, `PRV`, `may be one of several parts`, []string{"pressure regulator", "relief valve"}},
	{`DC 3/4`, `DC`, `may be one of several parts`, nil},
	{`WH 3/4`, `WH`, `may be one of several parts`, []string{"wall hydrant", "water heater"}},
	{`ST 1/2 MIP nipple`, `ST`, `may be street or stainless`, []string{"street", "stainless"}},
	{`20 LF copper tube`, `20 LF`, `LF may be feet of length or lead-free`, []string{"20 ft", "20 lead-free"}},
	{`black 1/2 nipple`, `black`, `may be a colour or black steel`, []string{"black steel", "dark"}},
	{`hose bibb = tap`, `tap`, `may be one of several parts`, []string{"hose bibb", "one-inlet faucet", "two-inlet faucet"}},
	{`3/4 FHT x 3/4 MHT Y`, `Y`, `may be one of several parts`, []string{"hose splitter without shut-offs", "shut-off wye"}},

	// figures
	{`7/4 elbow`, `7/4`, `is no size the trade names`, nil},
	{`0 elbow`, `0`, `is no size the trade names`, nil},
	{`1/0 elbow`, `1/0`, `is no figure this trade uses`, nil},
	{`1234567 ft hose`, `1234567 ft`, `is no figure this trade uses`, nil},
	{`3/4 x 10 copper tube`, `10`, `a length wants its unit`, []string{"10 ft", "10 in", "10 m"}},
	{`basin, 16 x 12 x 6, 1-1/2 outlet`, `16 x 12 x 6`, `the dimensions of a basin want a unit`, []string{"16 x 12 x 6 in", "16 x 12 x 6 cm", "16 x 12 x 6 mm"}},
	{`20 ft 10 ft 1/2 copper tube`, `10 ft`, `a second length`, nil},
	{`2 ea 3 ea 1/2 elbow`, `3 ea`, `a second quantity`, nil},
	{`type L type M 1/2 copper tube`, `type M`, `two wall types: L and M`, nil},

	// ends and sizes that do not fit
	{`1/2 x 3/4 tee`, ``, ``, nil},
	{`1/2 x 3/4 x 1/2 tee`, ``, ``, nil},
	{`1/2 C x 1/2 C x 1/2 C x 1/2 C tee`, ``, ``, nil},
	{`1/2 C x 1/2 C cap`, ``, ``, nil},
	{`1/2 FIP x 1/2 FIP x 3/4 MHT hose bibb`, `3/4 MHT`, `a hose bibb has 2 ends (in, out) to name; 3 are given`, nil},
	{`1/2 FIP x 1/2 FIP x 1/2 FIP cross`, `1/2 FIP x 1/2 FIP x 1/2 FIP`, `a cross has 4 ends (in, out, left, right) to name; 3 are given`, nil},
	{`1/2 MIP x 3/4 FIP bushing`, `1/2 MIP x 3/4 FIP`, `the outside of a bushing is its larger size; this one would be larger inside`, nil},
	{`1/2 C x 1/2 C coupling, threaded`, `threaded`, `does not go with solder cup x solder cup, which a coupling has here`, nil},
	{`hose bibb, 1/2 hose`, ``, ``, nil},

	// words and signs that say nothing here
	{`3/4 MHT x`, `x`, `nothing follows this "x"`, nil},
	{`x 3/4 MHT adapter`, `x`, `nothing stands before this "x"`, nil},
	{`3/4 brass`, `3/4 brass`, `no kind of part is named`, nil},
	{`brass vlave 1/2`, `vlave`, `is not a word this tool knows`, nil},
	{`1/2 FIP x 3/4 MHT hose bibb, brasss`, `brasss`, `is not a word this tool knows`, nil},
	{`1/2 FIP hose bibb, led-free`, `free`, `is not a word this tool knows`, nil},
	{`3/4 XYZZY adapter`, `XYZZY`, `is not a word this tool knows`, nil},
	{`= hose bibb`, `=`, `nothing stands before the =`, nil},
	{`tap =`, `tap =`, `no part is named`, nil},
	{`a = b = hose bibb`, `=`, `stands between a name and its part, once, in front`, nil},
	{``, ``, `no part is named`, nil},
	{`,,,`, `,,,`, `no kind of part is named`, nil},

	// claims and materials that contradict each other
	{`lead-free leaded brass hose bibb`, `leaded`, `"lead-free" cannot both be: is it lead-free?`, nil},
	{`hose bibb with vacuum breaker, no vacuum breaker`, `no vacuum breaker`, `cannot both be: has it a vacuum breaker?`, nil},
	{`potable garden hose, not for potable use`, `not for potable use`, `cannot both be: is it for drinking water?`, nil},
	{`anti-siphon sillcock without vacuum breaker`, `without vacuum breaker`, `an anti-siphon sillcock is one with a vacuum breaker`, nil},
	{`brass PVC coupling 1/2`, `PVC`, `two materials are named, brass and PVC`, nil},
	{`1/2 MIP nipple, mortar`, `mortar`, `is nothing a nipple is made of`, nil},

	// what it does, what it has with it, where it lies
	{`hose bibb, self-closing`, ``, ``, nil},
	{`1/2 FIP ball valve, self-draining`, ``, ``, nil},
	{`bottle filler with sensor`, ``, ``, nil},
	{`ball valve, float operated`, ``, ``, nil},
	{`1/2 FIP hose bibb with vacum breaker`, `vacum breaker`, `is a part of its own`, nil},
	{`hose with nozzle`, `nozzle`, `is a part of its own`, nil},
	{`sink with faucet`, `faucet`, `is a part of its own`, nil},
	{`rain barrel with spigot`, `spigot`, `is a part of its own`, nil},
	{`5/8 x 50 garden hose`, ``, ``, nil},
	{`hose timer with 2 outlets`, ``, ``, nil},
	{`hose bibb with vacuum breaker removed`, ``, ``, nil},
	{`brass nipple in wall`, ``, ``, nil},
	{`buried 3/4 PEX tube`, `buried`, `says where the part lies`, nil},
	{`3/4 PVC pipe, underground`, `underground`, `says where the part lies`, nil},
	{`1/2 x 4 brass nipple in concrete`, `in concrete`, `says where the part lies`, nil},
	{`1/2 copper in mortar, sleeve`, `in mortar`, `says where the part lies`, nil},
}

func TestAsking(t *testing.T) {
	r := reader(t)
	for _, c := range asking {
		x := checkReading(t, r, c.text)
		found := false
		for _, q := range x.Questions {
			if c.at+c.msg == "" || c.text[q.From:q.To] == c.at && strings.Contains(q.Msg, c.msg) {
				found = true
				if c.choices != nil {
					assert.Equal(t, c.choices, q.Choices, "%q", c.text)
				}
			}
		}
		assert.True(t, found, "%q: nothing at %q asks %q: %v", c.text, c.at, c.msg, x.Questions)
	}
}

// Where the words fit several ends, each of them stays possible and none is taken.
func TestOpenEnds(t *testing.T) {
	r := reader(t)
	for _, c := range []struct{ text, ends string }{
		{`3/4 GHT x 1/2 NPT adapter`, "MHT FHT, MIP FIP"},
		{`1/2 BSP ball valve`, "Rc Rp MG FG, Rc Rp MG FG"},
		{`3/4 NH x 1/2 MIP adapter`, "MHT FHT, MIP"},
		{`1/2 SS ball valve`, "S S-CTS, S S-CTS"},
		{`1/2 press ball valve`, "PEX-PRESS CU-PRESS, PEX-PRESS CU-PRESS"},
		{`3/4 PEX elbow`, "PEX-CRIMP PEX-EXP PEX-PRESS PUSH, PEX-CRIMP PEX-EXP PEX-PRESS PUSH"},
		{`1/2 PEX x 1/2 MIP brass adapter`, "PEX-CRIMP PEX-EXP PUSH, MIP"},
		{`1/2 NPS ball valve`, "FIP C S S-CTS COMP, FIP MHT C S S-CTS COMP"},
		{`unknown x 1/2 MIP adapter`, "-, MIP"},
		{`3/4 ball valve with hose end`, "FIP C S S-CTS COMP, FIP MHT C S S-CTS COMP"},
	} {
		x := r.Read(c.text)
		var ends []string
		for _, e := range x.Part.Ends {
			ids := "-"
			switch {
			case e.Kind != nil:
				ids = e.Kind.ID
			case len(e.May) > 0:
				ids = ""
				for _, m := range e.May {
					ids = strings.TrimSpace(ids + " " + m.ID)
				}
			}
			ends = append(ends, ids)
		}
		assert.Equal(t, c.ends, strings.Join(ends, ", "), "%q", c.text)
	}
}

// What a word says of the work of a part makes it the kind that does it, and the rules
// take it for that: unsafe readings are those that forget the word.
func TestWordsThatMakeAKind(t *testing.T) {
	r := reader(t)
	for _, c := range []struct {
		text, kind string
		does       plumb.Trait
	}{
		{`touchless kitchen faucet`, "metering-faucet", plumb.SelfActing},
		{`1/2 MIP sensor faucet`, "metering-faucet", plumb.SelfActing},
		{`1/2 ball valve with drain`, "stop-and-waste", plumb.Weeps},
		{`3/4" sweat ball valve w/ drain`, "stop-and-waste", plumb.Weeps},
		{`ball valve with brass drain, 3/4 FIP`, "stop-and-waste", plumb.Weeps},
		{`perforated drain pipe 4 in`, "perforated-pipe", plumb.PipeLike},
		{`2 outlet digital water timer`, "multi-outlet-timer", plumb.SelfActing | plumb.Divides},
	} {
		x := checkReading(t, r, c.text)
		if assert.NotNil(t, x.Part.Kind, "%q", c.text) {
			assert.Equal(t, c.kind, x.Part.Kind.ID, "%q", c.text)
			assert.True(t, x.Part.Kind.Has(c.does), "%q", c.text)
		}
	}
}

// Things that lie on a list beside the run are known as such and are no part of it.
func TestBeside(t *testing.T) {
	r := reader(t)
	for text, what := range map[string]Beside{
		"hose clamp": "clamp", "3/4 hose washer": "washer", "thread tape": "sealant", "2 hose washers": "washer", "pipe wrench": "tool", "PVC cement": "cement",
	} {
		x := checkReading(t, r, text)
		assert.Equal(t, what, x.Beside, "%q", text)
		assert.Nil(t, x.Part.Kind, "%q", text)
		assert.Empty(t, x.Questions, "%q", text)
	}
}

// doubted are phrases with a claim that is not made of the part, or not for certain.
var doubted = []string{
	"hose bibb 1/2 FIP, not certified lead-free", "hose bibb 1/2 FIP, maybe LF, maybe potable",
	"hose bibb 1/2 FIP not NSF 61", "hose bibb 1/2 FIP, lead-free?", "hose bibb 1/2 FIP, vacuum breaker",
	"hose bibb 1/2 FIP, broken vacuum breaker", "hose bibb 1/2 FIP, with vacuum breaker?", "hose bibb 1/2 FIP, no anti-siphon",
	"garden hose, drinking water not allowed", "hose bibb 1/2 FIP, lead-free, leaded", "hose bibb 1/2 FIP, vacuum breaker unknown",
	"hose bibb 1/2 FIP, lead-free unknown", "hose bibb 1/2 FIP with lead-free nut", "brass hose bibb 1/2 FIP", "hose bibb 1/2 FIP",
	"hose bibb 1/2 FIP with backflow preventer", "hose bibb with vacum breaker", "hose bibb for vacuum breaker", "hose bibb, never lead-free",
	"hose bibb 1/2 FIP, vacuum breaker removed", "hose bibb 1/2 FIP, vacuum breaker missing", "hose bibb 1/2 FIP, needs vacuum breaker",
	"hose bibb 1/2 FIP, old vacuum breaker leaking", "hose bibb, almost lead-free",
	"hose bibb with vacuum breaker, no vacuum breaker", "hose bibb, no vacuum breaker, with vacuum breaker", "lead-free leaded brass hose bibb",
	"leaded lead-free brass hose bibb", "potable garden hose, not for potable use", "garden hose, not for potable use, potable",
	"hose bibb, wants lead-free", "hose bibb must be lead-free", "hose bibb, hopefully lead free", "hose bibb, lead free I think",
	"hose bibb, is it lead free", "hose bibb, lead free or not", "hose bibb, should be lead free", "hose bibb, probably lead free",
	"hose bibb, lead free nut", "hose bibb, lead-free washer", "hose bibb with lead free handle", "hose bibb, supposedly potable",
	"hose bibb, with vacuum breaker that leaks", "hose bibb with vacuum breaker taken off", "hose bibb, vacuum breaker to come",
	"hose bibb with vacuum breaker removed", "hose bibb with vacuum breaker missing", "hose bibb, add vacuum breaker", "hose bibb, vacuum breaker broken", "hose bibb, vacuum breaker cap",
}

// believed are those of them that are believed all the same, which is not to be.
var believed = known{
	"hose bibb, is it lead free": "a question counts as a fact",
}

// What speaks for a part is believed only where the whole phrase is understood. Where a
// word casts doubt on it, it stays unknown or is denied.
func TestClaimsAreNotGuessed(t *testing.T) {
	r := reader(t)
	for _, text := range doubted {
		p := r.Read(text).Part
		granted := p.LeadFree == plumb.Yes || p.Listed == plumb.Yes || p.Breaker == plumb.Yes || p.Device != nil
		_, is := believed[text]
		assert.True(t, is || !granted, "%q: %s", text, summary(&p))
	}
}
