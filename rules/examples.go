package rules

import (
	"io/fs"
	"path"
)

// Examples gives the bad and the good example run of a rule from a family's
// embedded folder examples/<id>/. A missing one is "", which a test over the
// whole book refuses.
func Examples(files fs.FS, id string) (bad, good string) {
	read := func(name string) string {
		text, err := fs.ReadFile(files, path.Join("examples", id, name))
		if err != nil {
			return ""
		}
		return string(text)
	}
	return read("bad.yaml"), read("good.yaml")
}

// Family completes the rules of one family: its name, and each rule's example
// runs from the family's embedded folder.
func Family(name string, files fs.FS, list ...*Rule) []*Rule {
	for _, r := range list {
		r.Family = name
		r.Bad, r.Good = Examples(files, r.ID)
	}
	return list
}
