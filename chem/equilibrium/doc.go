// Package equilibrium finds chemical equilibrium in a solution and the solids
// that settle from it. Numbers go in and numbers come out: it knows neither
// names nor elements, only stoichiometric coefficients, logarithms of
// constants, and totals in mol per litre of solution.
//
// # The problem
//
// Choose components (H⁺, each bare metal ion, each free ligand) and write
// every species j as a sum of them, with coefficients ν_ji and formation
// constant K_j. With x_i the logarithm of the free concentration of component
// i, mass action gives every species at once,
//
//	c_j = exp(ln K_j + Σ_i ν_ji x_i),
//
// and what remains is one mass balance per component, Σ_j ν_ji c_j = T_i.
// These balances are the gradient of
//
//	φ(x) = Σ_j c_j(x) - Σ_i T_i x_i,
//
// a sum of exponentials of linear functions, hence convex; its Hessian ν
// diag(c) νᵀ is positive definite. So there is at most one answer, and there
// is one whenever positive amounts of the species can add up to the totals. A
// solid k forbids s_k·x > ln Ks_k. The constraint is linear, the problem stays
// convex, and the multiplier of a constraint that binds is the amount of that
// solid. This is the geometric-programming dual of the minimum of the Gibbs
// energy: Duffin, Peterson & Zener, Geometric Programming, 1967; Passy &
// Wilde, SIAM J. Appl. Math. 16, 1968, 363.
//
// # Why plain Newton is slow, and what is done instead
//
// Newton's method on φ cannot fail, but far from the answer it crawls. Where a
// species e^y is far too abundant, each step takes 1 off y; where it is far
// too scarce, the step overshoots by decades. Both come from the same
// exponential, and both go away when each balance is written with what counts
// positively on one side and what counts negatively on the other,
//
//	F_i = ln P_i - ln N_i,  P_i = Σ_{ν>0} ν c + max(-T_i, 0),  N_i = Σ_{ν<0} |ν| c + max(T_i, 0).
//
// Wherever one species rules each side, F is linear in x and one step arrives,
// from however many decades away (newton.go). What is left to do is to choose
// the start and to watch the steps.
//
// The start (start.go). With all species at one concentration the problem is a
// linear programme, the Gibbs energy without the entropy of mixing, and the
// simplex method, which never fails, tells which species hold the totals. It
// also tells at once if none can: [ErrInfeasible].
//
// The components (frame.go). Any n independent species will serve as
// components; φ keeps its value. In terms of the most abundant species nothing
// in a balance cancels. Iron and EDTA in exactly equal amounts are the test:
// in the usual components what is free is the difference of two numbers that
// agree in all digits, in terms of the complex it is a balance of its own.
// Totals are carried over in twice the working precision. So answers are
// accurate to about 1e-10 even where the Hessian's condition number is 1e14.
//
// The steps (newton.go). A step is kept if it shortens the largest |F|. If it
// does not, a damped step down φ is taken, which is always progress, so that
// the worst case is a slow answer and not a missing one.
//
// The solids (solids.go). A solid that is present is made a component of fixed
// activity, its amount being that component's total. Which ones are present is
// found as in non-negative least squares: the dual function of the amounts
// grows with every exchange, so no set is tried twice.
//
// # Speed
//
// layout.go and fast.go treat the usual case: coefficients are small integers
// and only one component, H⁺, occurs with negative ones. Species are then
// products of powers, so an iteration costs one exp per component and none per
// species (pass.go); and components that share no species with one another, the
// metals, are eliminated exactly, each as the root of a polynomial (root.go).
// Ten components leave four unknowns for Newton's method (core.go). From one
// point of a curve to the next it starts along the tangent, bent as the last
// steps were (predict.go). The ionic strength is one unknown more (border.go), so
// that I costs as much again and not a loop of solves. Whatever the fast
// path cannot take, or cannot finish, goes the general way.
//
// problem.go folds away held and absent components; medium.go says how
// constants move with I; derivative.go differentiates the answer by every
// number that went in.
//
// # Use
//
// Build a [System] once, give each goroutine a [Workspace], and solve any
// number of [Conditions] into a [Result]; after the first, solving allocates
// nothing. [Workspace.SolveFrom] is quicker on the next point of a curve.
// [Workspace.SolveMedium] finds the ionic strength as well.
package equilibrium
