package card

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// cardCommand makes the card of the recipe that is named, or of the one spoken of.
func cardCommand(t *talk.Turn, rest string) {
	rest = strings.TrimPrefix(strings.TrimPrefix(rest, "of "), "for ")
	s, ok := t.Understand("card for " + rest)
	switch {
	case rest == "":
		s = read.Sentence{Intent: read.CardOf}
	case !ok || s.Intent != read.CardOf:
		t.NotUnderstood("card for " + rest)
		return
	}
	t.GoTo(s)
}

// ofRecipe answers a sentence that asks for a card: of the recipe that it names,
// or of what the dog that it names eats.
func ofRecipe(send func(*talk.Turn, *planner.Recipe)) talk.Intent {
	return func(t *talk.Turn, s read.Sentence) {
		d := t.Dog(s.Dog)
		if d != nil && dogs.Held(t, d) {
			return
		}
		r := t.Recipe(s.Recipe)
		if r == nil && d != nil {
			id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
			r = t.Recipe(id)
		}
		if r == nil {
			r = talk.RecipeMeant(t, s)
		}
		if r != nil && mayHave(t, r) {
			send(t, r)
		}
	}
}

// pressed is a button that asks for one.
func pressed(send func(*talk.Turn, *planner.Recipe)) func(*talk.Turn, *planner.Recipe, []string) {
	return talk.Tapped(func(t *talk.Turn, r *planner.Recipe) {
		if mayHave(t, r) {
			send(t, r)
		}
	})
}

// mayHave reports whether a card is made of a recipe: not of one that is to be
// cooked with bone in it, nor where every dog here waits for its vet's word. It
// says why none is.
func mayHave(t *talk.Turn, r *planner.Recipe) bool {
	t.Talk.Recipe = r.ID
	if balance.ToBeCooked(t, r) {
		return false
	}
	all, waiting := t.Dogs(), waitingDogs(t)
	if len(all) == 0 || len(waiting) < len(all) {
		return true
	}
	return !dogs.Held(t, waiting[0])
}

// waitingDogs are those whose food is their vet's matter.
func waitingDogs(t *talk.Turn) []*planner.Dog {
	return slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool {
		n := planner.AmountOf(*d, t.Event.At)
		return !n.Waits() || n.Gate == planner.DiedGate
	})
}

// made makes a recipe's card, or says why it cannot.
func made(t *talk.Turn, r *planner.Recipe) (Card, bool) {
	c, err := Of(t, *r, Publication{})
	return c, !recipes.Failed(t, r, err)
}

// sendPicture sends a recipe's card as a picture, and offers it to print.
func sendPicture(t *talk.Turn, r *planner.Recipe) {
	c, ok := made(t, r)
	if !ok {
		return
	}
	png, err := c.PNG()
	if err != nil {
		t.Fail(err)
		return
	}
	out := t.Say(say.Para(msg("card.sent", "recipe", r.Name)), say.Whole(notFor(t, r)))
	out.Picture = &say.Picture{Name: "card.png", Alt: c.Alt, PNG: png}
	out.Offer(t.Button(msg("button.card-a4"), "card", "a4", r.ID), t.Button(msg("button.card-letter"), "card", "letter", r.ID),
		t.Button(msg("button.card-page"), "card", "page", r.ID))
}

// notFor says of which dogs here the card is not.
func notFor(t *talk.Turn, r *planner.Recipe) string {
	var lines []string
	for _, d := range t.Dogs() {
		n := planner.AmountOf(*d, t.Event.At)
		if n.Gate != "" && n.Gate != planner.DiedGate && n.Gate != planner.UnderweightGate {
			lines = append(lines, msg("card.not-for", "dog", d.Name))
		}
		lines = append(lines, dogs.ExcludedText(t, d, *r))
	}
	return say.JoinParas(lines...)
}

func onA4(t *talk.Turn, r *planner.Recipe) { sendPaper(t, r, A4) }

func onLetter(t *talk.Turn, r *planner.Recipe) { sendPaper(t, r, Letter) }

// paperOf is the paper that a household has: Letter where dogs are weighed in
// pounds (our own choice).
func paperOf(t *talk.Turn) Paper {
	if t.Home.Units.Pounds {
		return Letter
	}
	return A4
}

// sendPaper sends a recipe's card to print.
func sendPaper(t *talk.Turn, r *planner.Recipe, on Paper) {
	if c, ok := made(t, r); ok {
		data, err := c.PDF(on)
		send(t, msg("card.sent-paper", "recipe", r.Name, "paper", string(on)), say.Document{
			Name: "card-" + cmp.Or(say.FileName(r.Name), r.ID) + "-" + strings.ToLower(string(on)) + ".pdf", Alt: msg("card.alt-paper"), Type: "application/pdf", Data: data}, err)
	}
}

// sendPage sends a recipe's card as a page for a browser.
func sendPage(t *talk.Turn, r *planner.Recipe) {
	if c, ok := made(t, r); ok {
		data, err := c.HTML()
		send(t, msg("card.sent-page", "recipe", r.Name), say.Document{
			Name: "card-" + cmp.Or(say.FileName(r.Name), r.ID) + ".html", Alt: msg("card.alt-page"), Type: "text/html; charset=utf-8", Data: data}, err)
	}
}

// send sends a file with a text; nil where the file could not be made.
func send(t *talk.Turn, text string, d say.Document, err error) *say.Reply {
	if err != nil {
		t.Fail(err)
		return nil
	}
	out := t.Say(say.Para(text))
	out.Document = &d
	return out
}

// sendVetSheet sends what a vet wants to know of a dog.
func sendVetSheet(t *talk.Turn, d *planner.Dog) {
	s, err := vetSheet(t, d)
	var data []byte
	if err == nil {
		data, err = s.pdf(paperOf(t), t.Event.At)
	}
	send(t, msg("vet.sent", "dog", d.Name), say.Document{
		Name: "vet-" + cmp.Or(say.FileName(d.Name), d.ID) + ".pdf", Alt: msg("vet.alt"), Type: "application/pdf", Data: data}, err)
}

// sendSitterSheet sends what somebody has to know who feeds the dogs meanwhile.
func sendSitterSheet(t *talk.Turn) {
	if len(t.Home.Dogs) == 0 {
		talk.NoDog(t)
		return
	}
	data, err := sitterSheet(t).pdf(paperOf(t), t.Event.At)
	n := t.Home.Numbers
	text := say.JoinParas(msg("sitter.sent"), say.Where(n.Vet == "" || n.Clinic == "" || n.Poison == "", msg("sitter.no-numbers")))
	out := send(t, text, say.Document{Name: "sitter.pdf", Alt: msg("sitter.alt"), Type: "application/pdf", Data: data}, err)
	if out != nil {
		out.Offer(t.Button(msg("button.sheet-picture"), "sheet", "sitter"))
	}
}

// pressSheet sends the sheet for the sitter as a picture.
func pressSheet(t *talk.Turn, args []string) {
	if talk.Stale(t, talk.Arg(args, 0) != "sitter" || len(t.Home.Dogs) == 0) {
		return
	}
	png, err := sitterSheet(t).png()
	if err != nil {
		t.Fail(err)
		return
	}
	t.SayMsg("sitter.sent").Picture = &say.Picture{Name: "sitter.png", Alt: msg("sitter.alt"), PNG: png}
}
