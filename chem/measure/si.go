package measure

import "gonum.org/v1/gonum/unit"

// The exact definitions, untyped, so that each unit below is rounded once.
const (
	inch           = 0.0254                   // m
	gallon         = 231 * inch * inch * inch // m³
	imperialGallon = 4.54609e-3               // m³, UK Weights and Measures Act 1985
	pound          = 0.45359237               // kg
)

// Units that a person writes, to multiply by: 20*measure.Litre. Temperatures have a
// zero of their own and are made with chem.Celsius.
const (
	Gram             unit.Mass   = 1e-3
	Kilogram         unit.Mass   = 1
	Ounce            unit.Mass   = pound / 16 // avoirdupois
	Pound            unit.Mass   = pound
	Millilitre       unit.Volume = 1e-6
	Litre            unit.Volume = 1e-3
	Teaspoon         unit.Volume = gallon / 768 // US, as all kitchen measures here
	Tablespoon       unit.Volume = gallon / 256
	FluidOunce       unit.Volume = gallon / 128
	Cup              unit.Volume = gallon / 16
	Pint             unit.Volume = gallon / 8
	Quart            unit.Volume = gallon / 4
	Gallon           unit.Volume = gallon
	Micrometre       unit.Length = 1e-6
	Millimetre       unit.Length = 1e-3
	Centimetre       unit.Length = 1e-2
	Inch             unit.Length = inch
	Foot             unit.Length = 12 * inch
	SquareCentimetre unit.Area   = 1e-4
	SquareMetre      unit.Area   = 1
	SquareFoot       unit.Area   = 144 * inch * inch
	Minute           unit.Time   = 60
	Hour             unit.Time   = 3600
	Day              unit.Time   = 86400
)
