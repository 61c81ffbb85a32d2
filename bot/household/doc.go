// Package household is the room for the people and their settings: invitations,
// joining and leaving, units and place, the table of requirements, and the numbers
// to call in an emergency.
package household
