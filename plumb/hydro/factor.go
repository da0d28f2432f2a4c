package hydro

import "slices"

// factor is a sparse symmetric matrix of the kind a network of conductances
// makes, and its factorisation L·D·Lᵀ. Off the diagonal stand −c with c ≥ 0
// the conductance between two nodes; on the diagonal the sum of a node's
// conductances, to its neighbours and to ground (a fixed head).
//
// The diagonal is never formed by subtraction. Eliminating a node hands its
// conductances on to its neighbours, and its way to ground too; both only add,
// so each pivot is the sum of what is left and every entry of the factors is
// accurate in all its digits, however far conductances lie apart: a shut check
// valve next to a short wide pipe (A. S. Alfa, J. Xue, Q. Ye, Accurate
// computation of the smallest eigenvalue of a diagonally dominant M-matrix,
// Math. Comp. 71, 2002, after Grassmann, Taksar and Heyman).
//
// Columns are computed from left to right; which entries exist is settled once.
type factor struct {
	n       int
	place   []int32 // node → row
	start   []int32 // column k holds entries start[k] to start[k+1]−1
	row     []int32 // row of an entry, rising within a column
	value   []float64
	ground  []float64 // by row; set by the caller, spread by the elimination
	pivot   []float64
	rowFrom []int32 // row k meets columns rowCol[rowFrom[k]:rowFrom[k+1]] …
	rowCol  []int32
	rowAt   []int32 // … in these entries
	work    []float64
}

// newFactor orders the nodes and settles the pattern for the given neighbours.
func newFactor(adjacent [][]int32) *factor {
	n := len(adjacent)
	order := minimumDegree(adjacent)
	f := &factor{
		n: n, place: make([]int32, n), start: make([]int32, n+1),
		ground: make([]float64, n), pivot: make([]float64, n), work: make([]float64, n),
		rowFrom: make([]int32, n+1),
	}
	for k, node := range order {
		f.place[node] = int32(k)
	}
	// The entries of a column are its own neighbours still to come and those
	// of the columns whose first entry is this one.
	children := make([][]int32, n)
	mark := make([]int32, n)
	for k, node := range order {
		k := int32(k)
		mark[k] = k + 1
		first := len(f.row)
		add := func(i int32) {
			if i > k && mark[i] != k+1 {
				mark[i] = k + 1
				f.row = append(f.row, i)
			}
		}
		for _, other := range adjacent[node] {
			add(f.place[other])
		}
		for _, child := range children[k] {
			for _, i := range f.row[f.start[child]:f.start[child+1]] {
				add(i)
			}
		}
		slices.Sort(f.row[first:])
		f.start[k+1] = int32(len(f.row))
		if first < len(f.row) {
			children[f.row[first]] = append(children[f.row[first]], k)
		}
	}
	f.value = make([]float64, len(f.row))
	f.indexRows()
	return f
}

func (f *factor) indexRows() {
	for _, i := range f.row {
		f.rowFrom[i+1]++
	}
	for k := range f.n {
		f.rowFrom[k+1] += f.rowFrom[k]
	}
	f.rowCol = make([]int32, len(f.row))
	f.rowAt = make([]int32, len(f.row))
	next := slices.Clone(f.rowFrom[:f.n])
	for k := range f.n {
		for p := f.start[k]; p < f.start[k+1]; p++ {
			i := f.row[p]
			f.rowCol[next[i]], f.rowAt[next[i]] = int32(k), p
			next[i]++
		}
	}
}

// entry finds where the conductance between two nodes is stored.
func (f *factor) entry(a, b int32) int32 {
	i, j := f.place[a], f.place[b]
	if i < j {
		i, j = j, i
	}
	at, _ := slices.BinarySearch(f.row[f.start[j]:f.start[j+1]], i)
	return f.start[j] + int32(at)
}

// clear takes all conductances out.
func (f *factor) clear() {
	clear(f.value)
	clear(f.ground)
}

// decompose turns the conductances in value and ground into factors. A piece
// without any way to ground is given a faint one, so its heads float but exist.
func (f *factor) decompose() {
	const faint = 1e-30
	w := f.work
	for k := range f.n {
		from, to := f.start[k], f.start[k+1]
		rows, col := f.row[from:to], f.value[from:to]
		for p, i := range rows {
			w[i] = col[p]
		}
		ground := f.ground[k]
		for t := f.rowFrom[k]; t < f.rowFrom[k+1]; t++ {
			j, p := f.rowCol[t], f.rowAt[t]
			l := f.value[p]
			if l == 0 {
				continue
			}
			ground += l * f.ground[j]
			c := l * f.pivot[j]
			others := f.row[p+1 : f.start[j+1]]
			ls := f.value[p+1 : f.start[j+1]][:len(others)]
			for q, i := range others {
				w[i] += c * ls[q]
			}
		}
		pivot := ground
		for _, i := range rows {
			pivot += w[i]
		}
		if pivot == 0 {
			pivot, ground = faint, faint
		}
		f.ground[k], f.pivot[k] = ground, pivot
		for p, i := range rows {
			col[p] = w[i] / pivot
		}
	}
}

// solve replaces b, in row order, by the solution.
func (f *factor) solve(b []float64) {
	for k := range f.n {
		y := b[k]
		rows := f.row[f.start[k]:f.start[k+1]]
		col := f.value[f.start[k]:f.start[k+1]][:len(rows)]
		for p, i := range rows {
			b[i] += col[p] * y
		}
	}
	for k := f.n - 1; k >= 0; k-- {
		x := b[k] / f.pivot[k]
		rows := f.row[f.start[k]:f.start[k+1]]
		col := f.value[f.start[k]:f.start[k+1]][:len(rows)]
		for p, i := range rows {
			x += col[p] * b[i]
		}
		b[k] = x
	}
}
