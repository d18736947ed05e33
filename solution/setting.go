package solution

import (
	"cmp"
	"fmt"
	"maps"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// change gives the vessel a setting of its own with something changed.
func (s *Solution) change(how func(*compiled.Setting)) {
	if s.setting != nil {
		s.setting = s.setting.With(how)
	}
	s.problem, s.state = nil, nil
}

func checkTemperature(t unit.Temperature) error {
	const freezing, boiling = 273.15, 373.15
	if !(t >= freezing && t <= boiling) {
		return &chem.InputError{Field: "temperature", Value: fmt.Sprintf("%.4g °C", float64(t)-freezing), Want: "0 to 100 °C"}
	}
	return nil
}

// SetTemperature warms or cools the vessel; its volume follows the density of water.
func (s *Solution) SetTemperature(t unit.Temperature) error {
	if err := cmp.Or(s.made(), checkTemperature(t)); err != nil {
		return err
	}
	if t != s.setting.Temperature {
		s.scale(chem.WaterDensity(s.setting.Temperature) / chem.WaterDensity(t))
		s.change(func(c *compiled.Setting) { c.Temperature = t })
	}
	return nil
}

// Temperature returns the temperature; of a vessel that New has not made, zero.
func (s *Solution) Temperature() unit.Temperature {
	if s.setting == nil {
		return 0
	}
	return s.setting.Temperature
}

// AirCO2 is the pressure of carbon dioxide in outdoor air in atm, 425 ppm by volume (NOAA global
// monthly means of 2024, from memory); indoors it is often twice that.
const AirCO2 = 425e-6

// Open exposes the vessel to carbon dioxide at a pressure in atm, such as [AirCO2]. The state is
// then that of a vessel left to stand until it agrees with the air, which takes days.
func (s *Solution) Open(co2 float64) error {
	if err := s.made(); err != nil {
		return err
	}
	if !(co2 > 0 && co2 <= 1) {
		return &chem.InputError{Field: "pressure of CO2", Value: fmt.Sprintf("%.4g atm", co2), Want: "a number above 0 to 1 atm"}
	}
	s.change(func(c *compiled.Setting) { c.CO2 = co2 })
	return nil
}

// Close shuts the vessel off from the air, as a new one is: carbonate is conserved.
func (s *Solution) Close() { s.change(func(c *compiled.Setting) { c.CO2 = 0 }) }

// Allow lets solids form, or keeps solids that are there, beyond those that form by default.
func (s *Solution) Allow(solids ...string) error { return s.permit(true, solids) }

// Bar keeps solids from forming.
func (s *Solution) Bar(solids ...string) error { return s.permit(false, solids) }

func (s *Solution) permit(may bool, solids []string) error {
	if err := s.made(); err != nil {
		return err
	}
	forming := map[string]bool{}
	maps.Copy(forming, s.setting.Forming)
	for _, name := range solids {
		solid, err := s.setting.Tables.Solid(name)
		if err != nil {
			return err
		}
		forming[solid.Species.String()] = may
	}
	s.change(func(c *compiled.Setting) { c.Forming = forming })
	return nil
}

// SetConstant puts a formation constant of the caller's in the place of that of the tables: log10K
// of the species from its components, a quotient of concentrations (of solids: with the solid's
// left out) that holds at an ionic strength in mol/L and at whatever temperature the vessel has.
// From there it moves with ionic strength as the tables' constant does, unless [Solution.SetIdeal]
// takes it as it stands. It has no part in an [Uncertainty]. math.Inf(-1) leaves the species out.
func (s *Solution) SetConstant(species string, log10K, ionicStrength float64) error {
	if err := s.made(); err != nil {
		return err
	}
	if !math.IsInf(log10K, -1) {
		if err := chem.Within("log K of "+chem.Echo(species), log10K, -mostLogK, mostLogK, ""); err != nil {
			return err
		}
	}
	if err := chem.Within("ionic strength", ionicStrength, 0, mostIonic, "mol/L"); err != nil {
		return err
	}
	f, err := s.setting.Tables.Formation(species)
	if err != nil {
		return err
	}
	if len(f.Steps) == 0 {
		return &chem.InputError{Field: "species", Value: chem.Echo(species), Want: "one that is made from components; this one is a component"}
	}
	constants := map[string]compiled.Constant{}
	maps.Copy(constants, s.setting.Constants)
	constants[f.Species.String()] = compiled.Constant{Log10K: log10K, IonicStrength: ionicStrength}
	s.change(func(c *compiled.Setting) { c.Constants = constants })
	return nil
}

const (
	mostLogK  = 300 // no floating-point number holds K beyond it
	mostIonic = 10  // mol/L beyond which no solution is meant: saturated table salt has 6
)

// SetIdeal takes all activity coefficients as one, whatever the ionic strength: constants are those
// of zero ionic strength and pH is −log10 [H⁺], as in an introductory textbook.
func (s *Solution) SetIdeal(ideal bool) { s.change(func(c *compiled.Setting) { c.Ideal = ideal }) }

// HoldPH keeps the vessel at a pH from −2 to 16, as a strong buffer does that takes part in nothing
// else. The amount of H⁺ is then whatever it takes.
func (s *Solution) HoldPH(pH float64) error {
	const low, high = -2, 16 // the strongest acid and lye of the shop, with room
	if err := cmp.Or(s.made(), chem.Within("pH to hold", pH, low, high, "")); err != nil {
		return err
	}
	s.heldPH, s.holdPH, s.state = pH, true, nil
	return nil
}
