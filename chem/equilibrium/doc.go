// Package equilibrium finds chemical equilibrium in a solution with solids:
// numbers in, numbers out.
package equilibrium
