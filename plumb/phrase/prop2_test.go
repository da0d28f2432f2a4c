package phrase

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every choice and nearest spelling can be written in place of what it is
// about, and then that complaint is gone.
func TestChoicesCanBePasted(t *testing.T) {
	r := reader(t)
	for _, c := range bad {
		x := r.Read(c.text)
		for _, p := range x.Problems {
			offers := p.Choices
			if p.Nearest != "" {
				offers = append(offers[:len(offers):len(offers)], p.Nearest)
			}
			for _, o := range offers {
				fixed := c.text[:p.From] + o + c.text[p.To:]
				y := r.Read(fixed)
				for _, q := range y.Problems {
					same := q.Msg == p.Msg && q.From == p.From
					assert.False(t, same, "%q with %q is %q: still %q", c.text, o, fixed, q.Msg)
				}
				assert.LessOrEqual(t, len(y.Problems), len(x.Problems), "%q with %q: %v", c.text, o, y.Problems)
			}
		}
	}
}
