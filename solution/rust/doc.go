// Package rust is the rust on a part: how much there is ([Layer]), and how long it takes to
// dissolve ([Pace.Time]).
//
// Rust dissolves at its surface, where chelant sits and leaves with an iron; a few mmol/L of free
// chelant fill that surface, so a bath half as strong again is not visibly faster. Warmth, a lower
// pH, a brush and fresh rather than old rust make it faster, and a still film of liquid caps it.
//
// No paper fixes the rate of real rust near pH 7 and 20 °C, and so the range spans ten times and
// more until parts are seen to come clean ([Pace.Seen]). [Pace.Levers] weighs what would help.
package rust
