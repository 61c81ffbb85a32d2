package card

import (
	"testing"

	"bowlwright/planner"
)

// BenchmarkCard makes a card in each form, from the recipe on.
func BenchmarkCard(b *testing.B) {
	for name, form := range map[string]func(Card) ([]byte, error){
		"picture": Card.PNG,
		"paper":   func(c Card) ([]byte, error) { return c.PDF(A4) },
		"page":    Card.HTML,
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := form(cardOf(b, turkey, planner.Units{}, Publication{Link: "https://t.me/bowlwright_bot?start=p_AbCdEfGhIjKlMnOpQrStUvWx"})); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
