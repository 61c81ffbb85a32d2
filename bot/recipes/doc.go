// Package recipes is the room for recipes and foods: reading a paste line by line,
// asking what is unclear, changing, showing and renaming recipes, the food table,
// a household's own foods, and whether a dog may have a food.
package recipes
