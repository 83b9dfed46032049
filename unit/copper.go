package unit

// Annealed copper, IEC 60028: 1/58 ohm mm2/m at 20 degrees Celsius (rounded
// as the contract has it), and its temperature coefficient there.
const (
	copperAt20      Resistivity = 1.7241e-8
	copperPerKelvin float64     = 0.00393
)

// CopperResistivity is the resistivity of annealed copper,
// rho(T) = rho20 * (1 + 0.00393 (T - 20 C)), by IEC 60028.
func CopperResistivity(t Temperature) Resistivity {
	return copperAt20 * Resistivity(CopperFactor(t))
}

// CopperFactor is R(T)/R(20 C) of copper: 1 + 0.00393 (T - 20 C).
func CopperFactor(t Temperature) float64 {
	return 1 + copperPerKelvin*(float64(t)-20)
}

// Ounces is the thickness of copper foil quoted in ounces per square foot:
// 28.349523 g over 0.09290304 m2 at 8.89 g/cm3 (IEC 60028) is 34.33 um an
// ounce. The trade rounds it to 34 to 35 um.
func Ounces(n float64) Length {
	const grams, squareMetres, gramsPerCubicMetre = 28.349523, 0.09290304, 8.89e6
	return Length(n * grams / squareMetres / gramsPerCubicMetre)
}
