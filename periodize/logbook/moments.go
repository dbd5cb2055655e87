package logbook

import (
	"encoding/json"
	"math"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/num"
)

// A cell sums the pairs of one lifter in one lift, or in one band. It lies in a
// slice of 4 + 4k numbers:
//
//	n, c, S(t-c), S(t-c)^2, and for each method S d, S |d|, S d^2, S d(t-c)
//
// t the tested maximum, d the prediction less t, and c the first t that came, so
// that large maxima which hardly differ cost no digits.
const (
	cellN = iota
	cellC
	cellT
	cellTT
	cellHead
)

const (
	ofD = iota
	ofAbs
	ofDD
	ofDT
	cellPer
)

func cellLen(k int) int { return cellHead + cellPer*k }

// cells keeps cells in blocks, so that they stay where they are while more come.
type cells struct {
	k      int
	blocks [][]float64
	used   int
}

const cellBlock = 64

func (c *cells) at(i int32) []float64 {
	n := cellLen(c.k)
	from := int(i) % cellBlock * n
	return c.blocks[int(i)/cellBlock][from : from+n : from+n]
}

func (c *cells) add() int32 {
	if c.used == len(c.blocks)*cellBlock {
		c.blocks = append(c.blocks, make([]float64, cellBlock*cellLen(c.k)))
	}
	c.used++
	return int32(c.used - 1)
}

// append takes over another's cells. It returns by how much their numbers grow.
func (c *cells) append(o *cells) int32 {
	moved := int32(len(c.blocks) * cellBlock)
	c.blocks = append(c.blocks, o.blocks...)
	c.used = len(c.blocks) * cellBlock // what the last block of before has left stays empty
	return moved
}

// mergeCell adds the pairs of o to c.
func mergeCell(c, o []float64) {
	if o[cellN] == 0 {
		return
	}
	if c[cellN] == 0 {
		copy(c, o)
		return
	}
	shift := o[cellC] - c[cellC]
	c[cellN] += o[cellN]
	c[cellT] += o[cellT] + o[cellN]*shift
	c[cellTT] += o[cellTT] + shift*(2*o[cellT]+o[cellN]*shift)
	for i := cellHead; i < len(c); i += cellPer {
		c[i+ofD] += o[i+ofD]
		c[i+ofAbs] += o[i+ofAbs]
		c[i+ofDD] += o[i+ofDD]
		c[i+ofDT] += o[i+ofDT] + shift*o[i+ofD]
	}
}

// moments are the pairs of a group, of all methods, as means and sums of squares and
// products about them. They merge as in Chan TF, Golub GH, LeVeque RJ. Am Stat
// 1983;37:242-247 (citation from memory).
type moments struct {
	n, t, tt  float64
	d, dd, dt []float64
	abs       []num.Sum
}

func newMoments(k int) *moments {
	return &moments{d: make([]float64, k), dd: make([]float64, k), dt: make([]float64, k), abs: make([]num.Sum, k)}
}

// add merges a cell.
func (m *moments) add(c []float64) {
	no := c[cellN]
	if no == 0 {
		return
	}
	to := c[cellC] + c[cellT]/no
	tto := math.Max(c[cellTT]-c[cellT]*c[cellT]/no, 0)
	n := m.n + no
	share := no / n
	w := m.n * share
	dt := to - m.t
	for j := range m.d {
		o := c[cellHead+cellPer*j:]
		mean := o[ofD] / no
		ss := math.Max(o[ofDD]-o[ofD]*mean, 0)
		sp := o[ofDT] - mean*c[cellT]
		dd := mean - m.d[j]
		m.d[j] += dd * share
		m.dd[j] += ss + w*dd*dd
		m.dt[j] += sp + w*dd*dt
		m.abs[j].Add(o[ofAbs])
	}
	m.n = n
	m.t += dt * share
	m.tt += tto + w*dt*dt
}

// agreement is the pairs of method j as an accumulator of package estimate, through
// its JSON form: moments are all that either of them keeps.
func (m *moments) agreement(j int) (estimate.Agreement, error) {
	var a estimate.Agreement
	sum, comp := m.abs[j].Parts()
	b, err := json.Marshal(struct {
		N      int64   `json:"n"`
		Method float64 `json:"mean_method"`
		Ref    float64 `json:"mean_reference"`
		Diff   float64 `json:"mean_difference"`
		MM     float64 `json:"ss_method"`
		RR     float64 `json:"ss_reference"`
		MR     float64 `json:"sp_method_reference"`
		DD     float64 `json:"ss_difference"`
		Abs    float64 `json:"sum_absolute"`
		AbsC   float64 `json:"sum_absolute_compensation"`
	}{int64(m.n), m.t + m.d[j], m.t, m.d[j], math.Max(m.tt+2*m.dt[j]+m.dd[j], 0), m.tt, m.tt + m.dt[j], m.dd[j], sum, comp})
	if err != nil {
		return a, err
	}
	err = json.Unmarshal(b, &a)
	return a, err
}
