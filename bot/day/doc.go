// Package day is the room for the day itself: what has fallen due and how it is
// answered, in buttons or in words, today and the coming week, what was fed or
// given, and treats.
package day
