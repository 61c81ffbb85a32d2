// Package ical writes a calendar file as RFC 5545 has it, for import into the
// calendar of a phone. It writes; it reads nothing and knows no clock.
//
// Every event is a single one at an instant in UTC. A recurrence rule with a
// zone would be shorter, but could not say all that falls due: an every-n-days
// bowl differs from day to day under a rotation, pauses and snoozes move single
// occurrences, the 31st stands for the last day of shorter months, and what a
// local time that a clock change leaves out or repeats means is settled
// differently by different readers. An instant in UTC means the same to all of
// them, and each shows it by its own clock.
//
// An event keeps its UID however often it is written, so that importing a later
// file puts it in the place of the earlier one. Events carry no alarm: the
// reader's own setting decides.
package ical
