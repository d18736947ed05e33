package main

import "example.com/chelation/tables"

// computation finds a quantity with the library's public functions alone.
type computation func(*tables.Tables, *input) (float64, error)

// quantities are what a row can ask for.
var quantities = map[string]computation{
	"pH":                       pH,
	"buffer_capacity":          bufferCapacity,
	"pH_change_on_dilution":    pHOnDilution,
	"pH_temperature_slope":     pHTemperatureSlope,
	"pH_of_saturated_solution": pHOfSaturated,
	"dissolved":                dissolved,
	"log_dissolved_at_pH":      logDissolvedAtPH,
	"solubility":               solubility,

	"water_density":        waterDensity,
	"water_permittivity":   waterPermittivity,
	"debye_huckel_A":       debyeHuckelA,
	"pKw":                  pKw,
	"pKw_of_species":       pKwOfSpecies,
	"activity_coefficient": activityCoefficient,

	"pKa":      pKa,
	"log_K":    logK,
	"log_beta": logBeta,
	"log_K_MY": logKMY,

	"alpha_Y4":                       alphaY4,
	"log_inverse_alpha_Y4":           logInverseAlphaY4,
	"alpha_in_ammonia":               alphaInAmmonia,
	"pH_in_titration":                pHInTitration,
	"K_conditional":                  kConditional,
	"concentration_Y4":               concentrationY4,
	"free_metal_in_MY_solution":      freeMetal,
	"free_metal_with_excess_EDTA":    freeMetalWithExcess,
	"minimum_pH_for_titration":       minimumPH,
	"pM_in_titration":                pMInTitration,
	"mass_per_EDTA":                  massPerEDTA,
	"titrated_hardness":              titratedHardness,
	"hardness_of_Ca_and_Mg":          hardnessOfCaAndMg,
	"hardness_factor":                hardnessFactor,
	"hardness_unit":                  hardnessUnit,
	"hardness_class_lower_bound":     hardnessClassLowerBound,
	"chelation_value":                chelationValue,
	"mass_of_salt_per_iron":          massOfSaltPerIron,
	"molar_mass":                     molarMass,
	"water_content":                  waterContent,
	"solution_density":               solutionDensity,
	"molality":                       molality,
	"bulk_density":                   bulkDensity,
	"thinning_upper_bound":           thinningUpperBound,
	"mass_loss_upper_bound":          massLossUpperBound,
	"mass_fraction_iron":             massFractionIron,
	"mass_of_phase_per_mass_Fe":      massPerIron,
	"molar_volume":                   molarVolume,
	"volume_ratio_to_iron":           volumeRatioToIron,
	"volume_ratio_of_rust":           volumeRatioOfRust,
	"iron_capacity":                  ironCapacity,
	"iron_oxidised_per_iron_reduced": ironOxidisedPerIronReduced,

	"measured_volume":      measuredVolume,
	"measured_mass":        measuredMass,
	"measured_length":      measuredLength,
	"measured_temperature": measuredTemperature,
	"mass_of_level_spoon":  massOfLevelSpoon,
	"mass_for_solution":    massForSolution,
	"mass_concentration":   massConcentration,

	"strip_in_quart":      stripInQuart,
	"spoons_to_pH":        spoonsToPH,
	"strip_after_neutral": stripAfterNeutral,
}
