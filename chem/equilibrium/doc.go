// Package equilibrium finds chemical equilibrium in a solution and the solids that settle
// from it. It knows neither names nor elements, only stoichiometric coefficients,
// logarithms of constants, and totals in mol per litre of solution.
//
// # The problem
//
// Choose components (H⁺, each bare metal ion, each free ligand) and write every species j
// as a sum of them, with coefficients ν_ji and formation constant K_j. With x_i the
// logarithm of the free concentration of component i, mass action gives every species,
//
//	c_j = exp(ln K_j + Σ_i ν_ji x_i),
//
// and what remains is one mass balance per component, Σ_j ν_ji c_j = T_i: the gradient of
//
//	φ(x) = Σ_j c_j(x) - Σ_i T_i x_i,
//
// a sum of exponentials of linear functions, hence convex; its Hessian ν diag(c) νᵀ is positive
// definite. So there is at most one answer, and there is one whenever positive amounts of the
// species can add up to the totals. A solid k forbids s_k·x > ln Ks_k, which is linear, and the
// multiplier of a constraint that binds is the amount of that solid. This is the
// geometric-programming dual of the minimum of the Gibbs energy: Duffin, Peterson & Zener,
// Geometric Programming, 1967; Passy & Wilde, SIAM J. Appl. Math. 16, 1968, 363.
//
// # Why plain Newton is slow, and what is done instead
//
// Newton's method on φ cannot fail, but far from the answer it crawls. Where a species e^y
// is far too abundant, each step takes 1 off y; where it is far too scarce, the step
// overshoots by decades. Both go away when each balance is written with what counts
// positively on one side and what counts negatively on the other,
//
//	F_i = ln P_i - ln N_i,  P_i = Σ_{ν>0} ν c + max(-T_i, 0),  N_i = Σ_{ν<0} |ν| c + max(T_i, 0).
//
// Wherever one species rules each side, F is linear in x and one step arrives, from however
// many decades away (newton.go).
//
// What changes is which balances are met (balances.go): in terms of the most abundant species
// nothing in a balance cancels. Iron and EDTA in exactly equal amounts are the test: in the
// usual components what is free is the difference of two numbers that agree in all digits,
// in terms of the complex it is a balance of its own. Each balance is a whole-number
// combination of the original ones, found by elimination without fractions, so what cancels
// does so exactly. The balance that a solid leads tells its amount; saturation takes its place.
//
// The start (start.go) is a guess, each component from its total. Where it does not serve, all
// species are taken at one concentration: then the problem is a linear programme, and the
// simplex method tells which species and solids hold the totals, or that none can
// ([ErrInfeasible]), or that amounts could go round in a circle at more than any water holds
// ([ErrCrowded]); a bound on the way to the answer (crowd.go) tells that too. Where steps on F
// fail from there, φ is minimised along one anchor after the other (sweep.go).
//
// Which solids are present (solids.go) is found as in non-negative least squares: the dual
// function of the amounts grows with every exchange, so no set is tried twice.
//
// # Speed
//
// A step multiplies each species by powers of what the components change by: one exponential
// per component and none per species. Balances and Jacobian are written out once for a set of
// solids (terms.go), and elimination skips what is zero: a solve costs some 10 to 18 passes
// over all species, from 5 components to 100. The next on a curve foresees what follows its
// first step (predict.go). The ionic strength is one unknown more (medium.go), not a loop.
//
// # Use
//
// Build a [System] once, give each goroutine a [Workspace], and solve any number of
// [Conditions] into a [Result]; after the first, solving allocates nothing.
// [Workspace.SolveFrom] is quicker on the next point of a curve, and derivative.go
// differentiates the answer by every number that went in. Every answer meets each balance to
// 1e-12 of the sum of its terms; a free concentration below 1e-290 mol/L is only known to be
// that small. On random baths warm and cold answers agree to 1e-10 of each concentration.
package equilibrium
