package catalogue

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// warm reads the rows [temperature, share] of a series.
func (l *loader) warm(n *yamldoc.Node) (rows []plumb.Warm) {
	for _, row := range l.w.List(n, "warm") {
		cells := l.w.List(row, "a row")
		if len(cells) != 2 {
			l.w.Fail(row.Span, src.Problem{Msg: "the row is incomplete", Want: "temperature, share of the rating"})
			continue
		}
		at, err := unit.ParseTemperature(cells[0].Text)
		if err != nil {
			l.w.Fail(cells[0].Span, src.Problem{Msg: err.Error()})
			continue
		}
		share, ok := l.w.Float(cells[1], "a share", 0, 1)
		if !ok {
			continue
		}
		if k := len(rows); k > 0 && (at <= rows[k-1].At || share > rows[k-1].Share) {
			l.w.Fail(row.Span, src.Problem{Msg: "pipe bears less as it warms", Want: "rows that rise in temperature and fall in share"})
			continue
		}
		rows = append(rows, plumb.Warm{At: at, Share: share})
	}
	return rows
}
