// Package scheduler is the loop that has what falls due said in time.
//
// It keeps nothing of what is to come: the store knows the earliest time of
// all, and one timer waits for it. It is woken when something earlier is
// written, and looks at the clock once a minute in any case, since a clock on
// the wall may be set while a timer runs. What is said, to whom and how often
// is the assistant's; sending it is the delivery's.
package scheduler
