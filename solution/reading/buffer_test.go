package reading

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// What a meter is off by in two buffers is taken off what it reads in the bath. The pH of
// the buffers: Buck et al. 2002, Pure Appl. Chem. 74, 2169, table 1 (saturated potassium
// hydrogen tartrate and borax, 25 °C).
func TestBuffersTellWhatAMeterIsOffBy(t *testing.T) {
	const off = 0.4
	s, meter := tub(t), strip(t, "pH meter")
	s.Bag, s.Amount = tetrasodium(t), amount(t, "500 g")
	m, acid := model(t, s), Added{s.Acid, amount(t, "83 g")}
	read := Read{meter, 7 + off}
	plain := infer(t, m, acid, read).PH()
	known := infer(t, m, Buffer{Read{meter, 3.56 + off}, 3.56}, Buffer{Read{meter, 9.18 + off}, 9.18}, acid, read).PH()
	right := infer(t, m, Buffer{Read{meter, 3.56}, 3.56}, Buffer{Read{meter, 9.18}, 9.18}, acid, Read{meter, 7}).PH()
	require.InDelta(t, right.Typical, known.Typical, 0.12)
	require.Less(t, known.High-known.Low, plain.High-plain.Low)
	require.Greater(t, plain.Typical-known.Typical, off/4)
	for _, bad := range []Buffer{{Read{meter, 7}, 0}, {Read{meter, 7}, 14}, {Read{meter, 20}, 7}} {
		_, err := m.Infer([]Event{bad})
		require.ErrorIs(t, err, chem.ErrInput)
	}
	one, two := infer(t, m, acid, read), infer(t, m, acid, read, Buffer{Read{meter, 7}, 7})
	require.Equal(t, one.course.readings, two.course.readings, "a buffer is not the bath")
}
