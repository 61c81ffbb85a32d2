// Package scheduler is the loop that has the assistant say in time what falls
// due.
//
// It holds no reminders: the store knows the earliest time of all, and one
// timer waits for that. It wakes when something earlier is written, and looks
// at the clock once a minute in any case, since somebody may set the clock
// while a timer runs. What to say, to whom and how often belongs to the
// assistant, sending it to the delivery.
package scheduler
