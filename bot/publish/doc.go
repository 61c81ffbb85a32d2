// Package publish is the room of what crosses households: recipes and plans
// that their author gives a link to, and those who keep them.
package publish
