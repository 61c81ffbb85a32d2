// Package edition carries recipes between households: Freeze makes a version to
// publish of them, Thaw writes one down where it is kept, Merge takes a later
// version into what its reader made of it. What is published are records of
// package planner.
//
// It is pure like package planner, on which it stands.
package edition
