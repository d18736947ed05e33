package measure

import "gonum.org/v1/gonum/unit"

// Units that a person writes, to multiply by: 20*measure.Litre. Temperatures have a
// zero of their own and are made with chem.Celsius.
const (
	Milligram unit.Mass = 1e-6
	Gram      unit.Mass = 1e-3
	Kilogram  unit.Mass = 1
	Ounce     unit.Mass = ounce // avoirdupois
	Pound     unit.Mass = pound

	Millilitre unit.Volume = millilitre
	Litre      unit.Volume = litre
	Teaspoon   unit.Volume = teaspoon // US, as all kitchen measures here
	Tablespoon unit.Volume = tablespoon
	Cup        unit.Volume = cup
	Gallon     unit.Volume = gallon

	Micrometre unit.Length = 1e-6
	Millimetre unit.Length = 1e-3
	Centimetre unit.Length = 1e-2
	Metre      unit.Length = 1
	Inch       unit.Length = inch
	Foot       unit.Length = foot

	SquareCentimetre unit.Area = 1e-4
	SquareMetre      unit.Area = 1
	SquareFoot       unit.Area = foot * foot

	Second unit.Time = 1
	Minute unit.Time = 60
	Hour   unit.Time = 3600
	Day    unit.Time = 86400
)
