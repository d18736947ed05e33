package equilibrium

// A predictor improves the first step towards the next point of a curve, which
// is the tangent at the last one. What it misses grows as the square of its
// length, along a vector that changes little from point to point: that of the
// last point, and its change since the one before, foretell most of it.
type predictor struct {
	points       int       // of the curve so far, whose bends are known
	square       float64   // length of the present first step, squared
	miss         []float64 // what has been added to it so far
	bend, before []float64 // miss/square at the last point and the one before
	last         float64   // square of the last point
}

func (p *predictor) init(n int) {
	*p = predictor{miss: make([]float64, n), bend: make([]float64, n), before: make([]float64, n)}
}

// open adds to the first step, d, what it will miss.
func (p *predictor) open(d []float64) {
	p.square = dot(d, d)
	miss := p.miss[:len(d)]
	clear(miss)
	if p.points == 0 || p.square > 4*p.last {
		return
	}
	for i := range miss {
		miss[i] = p.square * p.bend[i]
		if p.points > 1 && p.last < 4*p.square {
			miss[i] += p.square * (p.bend[i] - p.before[i])
		}
	}
	if !(dot(miss, miss) <= 0.2*p.square) {
		clear(miss)
		return
	}
	for i, v := range miss {
		d[i] += v
	}
}

// follow notes a later step.
func (p *predictor) follow(d []float64, scale float64) {
	for i, v := range d {
		p.miss[i] += scale * v
	}
}

// close ends a point of the curve, or begins a new one if the point was not
// reached by a first step along the tangent.
func (p *predictor) close(tangent bool) {
	if !tangent || p.square == 0 {
		p.points = 0
		return
	}
	p.bend, p.before = p.before, p.bend
	for i, v := range p.miss {
		p.bend[i] = v / p.square
	}
	p.last = p.square
	p.points++
}
