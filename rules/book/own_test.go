package book_test

import (
	"encoding/json"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// spoil changes everything in a profile that can be changed.
func spoil(p *rules.Profile) {
	clear(p.NotChecked)
	clear(p.Terms)
	clear(p.Against)
	for i := range p.Fluids {
		f := &p.Fluids[i]
		clear(f.Into)
		clear(f.For)
		clear(f.Adds)
		clear(f.Cites)
		f.Shared = 0
	}
	for id, s := range p.Rules {
		clear(s.Cites)
		for name, v := range s.Params {
			clear(v.Cites)
			s.Params[name] = rules.Figure{Cites: append(v.Cites, plumb.Cite{Work: "spoilt"})}
		}
		p.Rules[id] = rules.Setting{Params: s.Params, Cites: append(s.Cites, plumb.Cite{Work: "spoilt"})}
	}
}

// A profile and the book are the caller's own: whatever is done to them, also by
// several at once, the next one gets them as they stand in the data.
func TestProfilesAndBookAreOnesOwn(t *testing.T) {
	for _, name := range rules.ProfileNames() {
		first, err := rules.LoadProfile(name, book.All())
		require.NoError(t, err)
		want, err := json.Marshal(first)
		require.NoError(t, err)
		var group sync.WaitGroup
		for range 4 {
			group.Go(func() {
				list := book.All()
				p, err := rules.LoadProfile(name, list)
				if assert.NoError(t, err) {
					spoil(p)
				}
				for _, r := range list {
					clear(r.Instead)
					clear(r.Params)
					*r = rules.Rule{}
				}
			})
		}
		group.Wait()
		again, err := rules.LoadProfile(name, book.All())
		require.NoError(t, err)
		got, err := json.Marshal(again)
		require.NoError(t, err)
		assert.JSONEq(t, string(want), string(got), name)
	}
}

// The records of the catalogue are shared by all runs of a process: neither reading
// nor checking changes one.
func TestCheckingChangesNoCatalogue(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	before, err := json.Marshal(cat)
	require.NoError(t, err)
	list := book.All()
	for _, r := range list {
		for _, text := range []string{r.Bad, r.Good} {
			run, _ := rulestest.Reader(t).Read(src.NewFile("run.yaml", []byte(text)))
			require.NotNil(t, run, r.ID)
			prof, err := rules.LoadProfile(run.Profile, list)
			require.NoError(t, err)
			rules.Check(run, list, prof)
		}
	}
	after, err := json.Marshal(cat)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}
