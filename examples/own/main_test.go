package main

// Fractions at two pH by hand, activity coefficients left out: at pH 3 the ratio
// Hmal-/H2mal is 10^(3 - 2.85), 1.4; at pH 6 that of mal2-/Hmal- is
// 10^(6 - 5.70), 2.0.
func Example() {
	main()
	// Output:
	// pH 2:  H2mal  86.7 %  Hmal-  13.3 %  mal2-   0.0 %
	// pH 3:  Hmal-  59.4 %  H2mal  40.5 %  mal2-   0.1 %
	// pH 4:  Hmal-  91.7 %  H2mal   6.3 %  mal2-   2.0 %
	// pH 5:  Hmal-  81.4 %  mal2-  18.0 %  H2mal   0.6 %
	// pH 6:  mal2-  69.6 %  Hmal-  30.3 %  H2mal   0.0 %
	// pH 7:  mal2-  95.9 %  Hmal-   4.1 %  H2mal   0.0 %
	// pH 8:  mal2-  99.6 %  Hmal-   0.4 %  H2mal   0.0 %
}
