package mend

import (
	"tapwright/plumb"
)

// variants are ways to make one change in the author's layout.
type variants [][]Edit

// between puts pieces into a joint: written in order of flow, after the upstream
// part or before the downstream one. Out names the end by which each goes on.
func (b *bench) between(joint int, phrases, out []string) (variants, error) {
	j := &b.run.Joints[joint]
	if j.Test.Said && !j.Test.None {
		return nil, refusal(tested)
	}
	var written []string
	for _, x := range phrases {
		written = append(written, plain(x))
	}
	up, down := b.part(j.A.Part), b.part(j.B.Part)
	switch {
	case down != nil && down.entry != nil && down.host == up && len(phrases) == 1:
		e, err := b.before(down, phrases[0], out[0])
		return variants{e}, err
	case j.Loop && up != nil && up.list != nil:
		e, err := b.insertItem(up.list, up.index+1, written)
		return variants{{e}}, err
	case down == nil || down.list == nil:
		return nil, odd
	}
	// the joint's own line goes with the one or the other of the new joints
	var v variants
	at := []int{down.index}
	if b.jointLine(joint) != nil {
		at = []int{down.index - 1, down.index}
	}
	for _, k := range at {
		e, err := b.insertItem(down.list, k, written)
		if err != nil {
			return nil, err
		}
		v = append(v, []Edit{e})
	}
	return v, nil
}

// onFree puts a part on an end with nothing on it.
func (b *bench) onFree(e plumb.EndRef, phrase string) ([]Edit, error) {
	p := &b.run.Parts[e.Part]
	it := b.part(e.Part)
	if it == nil {
		return nil, odd
	}
	if p.Line >= 0 && b.run.Lines[p.Line].Out == e && it.list != nil {
		edit, err := b.insertItem(it.list, len(it.list.Items), []string{plain(phrase)})
		return []Edit{edit}, err
	}
	name := p.Ends[e.End].Name
	if p.Turned { // the text calls its ends the other way round
		name = p.Ends[1-e.End].Name
	}
	return b.onEnd(e.Part, name, phrase)
}

// without takes a part out of its list, with the line of one of its joints if
// both have one.
func (b *bench) without(part int) (variants, error) {
	it := b.part(part)
	if it == nil || it.list == nil {
		return nil, odd
	}
	e, err := b.remove(it)
	if err != nil {
		return nil, err
	}
	v := variants{{e}}
	for k := range b.run.Parts[part].Ends {
		i := b.run.Parts[part].Ends[k].Joint
		if i < 0 {
			continue
		}
		if j := &b.run.Joints[i]; j.Test.Said && !j.Test.None {
			return nil, refusal(tested)
		}
		if line := b.jointLine(i); line != nil {
			j, err := b.remove(line)
			if err != nil {
				return nil, err
			}
			v = append(v, []Edit{e, j})
		}
	}
	return v, nil
}
