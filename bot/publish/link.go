package publish

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// openLink shows what a link opens, and reports whether it is one of this room.
func openLink(t *talk.Turn, token string) bool {
	if !strings.HasPrefix(token, linkPrefix) {
		return false
	}
	p, ok := opened(t, token)
	switch {
	case !ok:
	case p.Household == t.Home.ID:
		showMine(t, p, msg("link.yours"))
	case keptOf(t, token) != nil:
		t.SayMsg("link.kept", "what", p.Title).Offer(t.Button(msg("button.recipe"), "recipe", "show", keptOf(t, token).ID))
	default:
		offerIt(t, p)
	}
	return true
}

// opened is what a token opens; where that is nothing it says so.
func opened(t *talk.Turn, token string) (store.Published, bool) {
	p, err := t.Snap.Published(token)
	switch {
	case !talk.Found(t, err):
		t.SayMsg("link.wrong").Offer(t.Button(msg("button.help"), "help"))
	case !p.Withdrawn.At.IsZero() && p.Withdrawn.Why != "":
		t.SayMsg("link.withdrawn-why", "what", p.Title, "why", p.Withdrawn.Why)
	case !p.Withdrawn.At.IsZero() || len(p.Versions) == 0:
		t.SayMsg("link.withdrawn")
	case p.Closed && p.Household != t.Home.ID:
		t.SayMsg("link.closed")
	default:
		return p, true
	}
	return p, false
}

// keptOf is the recipe that the household has adopted by a link, nil where it
// has none.
func keptOf(t *talk.Turn, token string) *planner.Recipe {
	return planner.FirstOf(t.Home.Recipes, func(r *planner.Recipe) bool { return r.From.Token == token })
}

// offerIt shows what was published and asks for whom it is to be.
func offerIt(t *talk.Turn, p store.Published) {
	caution := ""
	if t.Member == "" { // nobody has told this person yet
		caution = msg("caution.first-use")
	}
	t.Ask("adopt", "weight", adoption{Token: p.Token})
	blocks := append(sheet(t, p.Published), say.Whole(caution), say.Para(askWhom(t)))
	out := t.Say(blocks...)
	offerWhom(t, out, p.Token)
}

func askWhom(t *talk.Turn) string {
	return say.Choose(len(t.Home.Dogs) > 0, msg("adopt.which-dog"), msg("adopt.weight"))
}

func offerWhom(t *talk.Turn, out *say.Reply, token string) {
	var row []say.Button
	for i := range t.Home.Dogs[:min(len(t.Home.Dogs), 6)] { // six: our own choice
		if d := &t.Home.Dogs[i]; d.Died.IsZero() {
			row = append(row, t.Button(d.Name, "adopt", "dog", token, d.ID))
		}
	}
	out.Rows(3, row...)
}

// sheet is what a reader sees of something published: what it is, by whom, its
// standing, its lines, and the author's words.
func sheet(t *talk.Turn, p planner.Published) []say.Block {
	v, n := p.Latest()
	title := msg(say.Choose(p.Author == "", "sheet.title-nobody", "sheet.title"), "title", p.Title, "author", p.Author, "n", n, "day", dayText(t, v))
	about := say.Para(msg("sheet.about", "about", p.About))
	about.Waits = utf8.RuneCountInString(p.About) > shortAbout
	blocks := []say.Block{say.Para(title), about, say.Para(msg("sheet.for", "for", p.ForWhom)), say.Para(standingText(t, v, p.Title)), say.Waits(heatText(t, v, p.Title))}
	if len(v.Turns) > 0 {
		blocks = append(blocks, say.Whole(msg("sheet.order", "order", orderText(v))))
	}
	for i := range v.Recipes {
		r := &v.Recipes[i]
		var rows []say.TableRow
		if len(v.Recipes) > 1 {
			rows = append(rows, say.TableRow{Label: strings.ToUpper(r.Name)})
		}
		lines := say.TableBlock(append(rows, recipes.LineRows(t, r.Ingredients)...))
		lines.Waits = len(v.Recipes) > 1
		blocks = append(blocks, lines, say.Whole(recipes.DosesText(t, r)), say.Waits(methodText(t, r)))
	}
	return append(blocks, say.Whole(recipes.DosesText(t, &planner.Recipe{Doses: v.Doses})), say.Waits(cautionsText(t, v.Recipes, 0)))
}

// methodText is how a recipe is made and why its foods are there.
func methodText(t *talk.Turn, r *planner.Recipe) string {
	method := say.Where(r.Method != "", msg("sheet.method", "recipe", r.Name, "text", r.Method))
	return say.JoinParas(append([]string{method}, recipes.NotesOf(t, r)...)...)
}

// cautionsText is what the foods of recipes call for, for a dog of a weight or
// any.
func cautionsText(t *talk.Turn, all []planner.Recipe, weight nutrition.Kilograms) string {
	var items []nutrition.Item
	for _, r := range all {
		items = append(items, recipes.ItemsOf(t, r.Ingredients)...)
	}
	var lines []string
	for _, c := range nutrition.Cautions(items, nutrition.CautionContext{Weight: weight}) {
		if c.Code != nutrition.RawPorkCaution || !t.Home.PorkFree {
			lines = append(lines, recipes.CautionText(c, t.Foods))
		}
	}
	return say.JoinParas(lines...)
}

// shortAbout is how many characters of an author's words stand before all else;
// more of them wait (our own choice).
const shortAbout = 300

// orderText is the order of a plan: "Turkey and heart 4 days, Lamb 3 days".
func orderText(v *planner.PublishedVersion) string {
	var parts []string
	for _, w := range v.Turns {
		if r := v.Recipe(w.Recipe); r != nil {
			parts = append(parts, msg("sheet.turn", "recipe", r.Name, "n", w.Days))
		}
	}
	return strings.Join(parts, ", ")
}

// adoption is what somebody is asked who opened a link.
type adoption struct {
	Token string `json:"token"`
}

// weightStep is the one question.
var weightStep = talk.Step[adoption]{Name: "weight", Ask: askAgain, Take: takeWhom, Repeats: true, Is: "dog.weight"}

// askAgain asks once more for whom it is to be.
func askAgain(t *talk.Turn, a *adoption) {
	t.Ask("adopt", "weight", a)
	offerWhom(t, t.Say(say.Para(askWhom(t))), a.Token)
}

// takeWhom takes a dog's name, or the weight of one that is not known yet.
func takeWhom(t *talk.Turn, a *adoption, in talk.Answer) string {
	if d := t.DogNamed(strings.Trim(in.Text, " .!")); d != nil {
		t.EndDialogue()
		serve(t, a.Token, d)
		return ""
	}
	if dogs.KeepSeveral(t, in.Text) {
		askAgain(t, a)
		return ""
	}
	d := read.ToldOfDog(in.Text, t.Home.Units, t.Event.At)
	if kg, err := span.BodyWeight(in.Text, t.Home.Units); err == nil {
		d.Weight = kg
	} else if d.Weight == 0 && (read.Says("asks-back", in.Text) || !strings.ContainsAny(in.Text, "0123456789")) {
		return msg("adopt.first")
	} else if d.Weight == 0 {
		return talk.ProblemOf(err, in.Text)
	}
	if d.Name == "" {
		d.Name = cmp.Or(lastName(t, in.Text), unnamed(t))
	}
	if err := d.Validate(t.Event.At); err != nil {
		return say.FieldText(err, t.Home.Units)
	}
	if t.DogNamed(d.Name) != nil {
		return msg("adopt.known-dog", "dog", d.Name)
	}
	t.EndDialogue()
	household.AdoptHome(t, in.Text)
	serve(t, a.Token, dogs.Append(t, d))
	return ""
}

// lastName is the name at the end of what was typed: "20 kg Dash".
func lastName(t *talk.Turn, typed string) string {
	words := strings.Fields(strings.Trim(typed, " .!"))
	if len(words) < 2 {
		return ""
	}
	last := words[len(words)-1]
	return read.ToldOfDog(last+" "+strings.Join(words[:len(words)-1], " "), t.Home.Units, t.Event.At).Name
}

// unnamed is a name for a dog whose name was not told.
func unnamed(t *talk.Turn) string {
	for _, name := range []string{msg("adopt.your-dog"), msg("adopt.your-other-dog")} {
		if t.DogNamed(name) == nil {
			return name
		}
	}
	return msg("adopt.your-dog-n", "n", len(t.Home.Dogs)+1)
}
