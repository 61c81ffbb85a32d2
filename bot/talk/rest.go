package talk

import (
	"reflect"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
)

// doRest does what sentences and clauses of a message say that the answer to the others
// passes over: "call him off the beef for now. daisys a girl". What is neither done nor
// answered is said as not used. A recipe, a dog or a method of several sentences is one thing.
func (t *Turn) doRest(text string) {
	text = strings.TrimSpace(span.Clean(text))
	parts := read.SentencesOf(text)
	if text == "" || text[0] == '/' || t.Popped || t.Err != nil || t.Leaves || len(t.Replies) == 0 || t.lost != "" || strings.Contains(text, "\n") || t.isOne(text, parts) {
		return
	}
	corrects := slices.ContainsFunc(parts, correctsTold)
	var clauses []string
	for _, s := range parts {
		clauses = append(clauses, read.Clauses(s)...)
	}
	if len(parts) < 2 || t.parted {
		parts = nil
	}
	if len(clauses) < 2 || t.vague {
		clauses = nil
	}
	if !corrects {
		parts = slices.DeleteFunc(parts, func(part string) bool {
			best, is := t.passedOver(text, part)
			if is {
				t.alsoDoes(part, best)
			}
			return is
		})
		t.doClauses(clauses)
	}
	t.sayPassed(text, parts, clauses)
}

// doClauses does what clauses surely tell of a meal, a dose, a treat or a weight, where the
// answer to the others says nothing of such: "bracken was sick and juniper had her breakfast".
func (t *Turn) doClauses(clauses []string) {
	a, kept := t.answered(nil), t.Before != nil || !t.notes.none()
	for _, c := range clauses {
		if t.ordersReminder(c) {
			t.alsoDoes(c, orderedReminder)
		}
		var best read.Reading
		switch says := t.hearAs(c, "").Says; {
		case read.Says("dose-had", c) && !read.IsQuestion(c):
			best.Intent = "supp.log"
		case len(says) != 1 || says[0].Do != read.Act || says[0].Readings[0].P < surelyElse:
			continue
		default:
			best = says[0].Readings[0]
		}
		of := saidOf[best.Intent]
		if read.In("intent:told-alone", best.Intent) && (kept || best.Intent == "fed.log") && !read.Says(of, a.said) && !t.did(kindOf(best)) && t.tells(a, best, c) {
			t.alsoDoes(c, best)
		}
	}
}

// tells reports that a clause alone tells what can be recorded: a meal that it names, a treat
// of which the answer says nothing. In an emergency no more than a meal is.
func (t *Turn) tells(a *answered, r read.Reading, clause string) bool {
	switch kindOf(r) {
	case "fed":
		return read.Says("meal-meant", clause)
	case "kcal":
		return read.Says("kcal-set", clause) || read.Says("so-much-more", clause)
	case "treat":
		new := func(n slots.Naming) bool { return n.Kind == slots.Food && !a.has(t, n) }
		if !slices.ContainsFunc(t.slotsOf(clause).Named(), new) {
			return false
		}
	}
	return !read.Says("sends-to-vet", a.said)
}

// apart are the parts of a message that says clearly different things in its sentences:
// "both fed. Moose 61 lb. what's for tea?". Sentences of one kind stay together.
func (t *Turn) apart(text string) (each [][]string) {
	sentences := read.SentencesOf(text)
	switch {
	case t.Talk.Kind == "recipe" && t.Talk.Step == "name": // "Beef. Only for Moose"
		return nil
	case t.Talk.Kind == "recipe" && !strings.ContainsAny(text, "0123456789\n"):
		for _, s := range sentences { // answers: "The raw one. And the beans are frozen"
			each = append(each, []string{read.Without("leads-on", s)})
		}
		return each
	}
	if each = t.answerFirst(text, sentences); each != nil {
		return each
	}
	return t.partsOf(text, sentences, clearFrom)
}

// partsOf groups sentences, or clauses, by what each says with some likelihood at least.
func (t *Turn) partsOf(text string, sentences []string, from float64) (each [][]string) {
	if len(sentences) < 2 || text[0] == '/' || t.Talk.Kind != "" || t.isOne(text, sentences) || slices.ContainsFunc(sentences, correctsTold) {
		return nil
	}
	worst := t.Alarm(text)
	last, dog, kinds := "", "", map[string]bool{}
	for _, s := range sentences {
		s = read.Without("leads-on", s)
		kind := t.clearly(s, from)
		of := say.Where(kind != "" && kind != "dog" && !ofIt[kind] || kind == "health", t.oneDog(s)) // facts of several dogs are read together
		switch {
		case ofIt[last] && read.IsQuestion(s) && read.Says("asks-of-it", s) && len(t.slotsOf(s).Named()) == 0:
			each[len(each)-1] = append(each[len(each)-1], s)
		case (worst.Asked != nil || worst.Food != nil) && ofDanger[kind]:
			return nil
		case kind != "":
			kinds[kind+of] = true
			if last != kind || dog != of && of != "" {
				each, last, dog = append(each, []string{s}), kind, of
				continue
			}
			fallthrough
		case last != "" && from < surelyElse && t.goesOn(s):
			each[len(each)-1] = append(each[len(each)-1], s)
		case from == surelyElse:
			return nil // clauses of one sentence
		default:
			each, last = append(each, []string{s}), ""
		}
	}
	told := slices.ContainsFunc(each, func(s []string) bool { return t.Alarm(strings.Join(s, ". ")).Level >= worst.Level })
	if len(kinds) < 2 || worst.Level >= alarm.VetToday && !told { // a sign may be told in two sentences
		return nil
	}
	return each
}

// ofIt are the kinds of what is told that a question may be of: "forgot his tablet. do I give
// it now?"
var ofIt = map[string]bool{"supp": true, "treat": true, "health": true}

// ofDanger are the kinds of what is told beside a question about a danger and may be of it.
var ofDanger = map[string]bool{"treat": true, "fed": true, "health": true, "undo": true}

// oneDog is the dog that a sentence names, empty where it names several or none.
func (t *Turn) oneDog(s string) (id string) {
	for _, n := range t.slotsOf(s).Named() {
		if d := t.DogNamed(n.Text); n.Kind == slots.Dog && (d == nil || id != "" && id != d.ID) {
			return ""
		} else if n.Kind == slots.Dog {
			id = d.ID
		}
	}
	return id
}

// goesOn reports that a sentence, which alone means nothing clear, goes on with the one
// before.
func (t *Turn) goesOn(s string) bool {
	return len(strings.Fields(s)) <= fragment && len(span.Mentions(s, t.Names().Dogs)) == 0
}

// aList is from how many line ends on a message is a list of one thing (our own choice).
const aList = 4

// fragment is how many words are taken to go on with the sentence before, where they mean
// nothing clear alone (our own choice).
const fragment = 4

// clearly is the kind of what a sentence alone clearly says, empty where it does not.
func (t *Turn) clearly(s string, from float64) string {
	if a := t.Alarm(s); a.Level >= alarm.VetToday || a.Eaten != nil {
		return "health"
	}
	if due, ok := read.DueAnswer(s, t.Names(), t.Event.At); ok && due.Thing != "" && due.Act == read.SaidDone {
		return "supp" // "worming tablet done"
	}
	says := t.hearAs(s, "").Says
	if len(says) == 0 {
		return ""
	}
	kinds := ""
	for _, st := range says {
		best := st.Readings[0]
		acts := st.Do == read.Act || st.Do == read.Confirm && len(says) > 1 && best.P >= surelyElse && kindOf(best) == "weight" // "Hank 45 lb, Pearl 55.75"
		if best.Intent == "health.signs" && t.Alarm(st.Text).Level < alarm.Watch || !acts || best.P < from || read.CostOf(best.Intent) == read.Reaches || t.early(best) || read.In("intent:not-apart", best.Intent) {
			return ""
		}
		kinds += strings.Replace(kindOf(best), "urgent", "health", 1) + say.Where(read.CostOf(best.Intent) == read.Reads, "?") // "300 g rice. is it complete?"
	}
	return kinds
}

// clearFrom is how likely what a sentence says alone must be (our own choice).
const clearFrom = 0.6

// doEach does the parts of a message one after the other; a question that one of them asks
// stands last. What means nothing as a whole is tried sentence by sentence.
func (t *Turn) doEach(each [][]string) {
	t.parted = true
	slices.SortStableFunc(each, func(a, b []string) int { return t.urgency(b) - t.urgency(a) })
	for _, part := range each {
		if t.doPart(strings.Join(part, ". ")) {
			continue
		}
		for _, s := range part {
			if (len(part) == 1 || !t.doPart(s)) && (len(strings.Fields(s)) > fragment || len(t.slotsOf(s).Named()) > 0 || t.clearly(s, clearFrom) != "") {
				t.Unused(s)
			}
		}
	}
	if len(t.Replies) == 0 {
		t.unheard = nil
		t.NotUnderstood(t.Event.Text)
	}
}

// sayOnce leaves out what another reply says as well: of two statements of a message, or a
// question that was asked after each, with its buttons, or is not open any more.
func (t *Turn) sayOnce() {
	asks, asked := func(b say.Block) bool { return b.Asks }, t.Talk.Kind == ""
	for i := len(t.Replies) - 1; i >= 0; i-- {
		r := &t.Replies[i]
		is := slices.ContainsFunc(r.Body, asks)
		if is && asked {
			r.Body, r.Buttons = slices.DeleteFunc(r.Body, asks), nil
		}
		says := func(o say.Reply) bool {
			missing := func(b say.Block) bool { return !slices.Contains(o.Body, b) }
			return o.Picture == r.Picture && (len(r.Buttons) == 0 || reflect.DeepEqual(o.Buttons, r.Buttons)) && !slices.ContainsFunc(r.Body, missing)
		}
		if asked = asked || is; slices.ContainsFunc(t.Replies[:i], func(o say.Reply) bool { return len(o.Body) > len(r.Body) && says(o) }) || slices.ContainsFunc(t.Replies[i+1:], says) {
			t.Replies = slices.Delete(t.Replies, i, i+1)
		}
	}
}

// urgency is 1 where a part tells of what must be answered before all else.
func (t *Turn) urgency(part []string) int {
	a := t.Alarm(strings.Join(part, ". "))
	return say.Choose(a.Level >= alarm.VetToday || a.Eaten != nil, 1, 0)
}

// doPart answers a part of a message, and reports whether it was understood. While a recipe
// is typed it may answer what is asked.
func (t *Turn) doPart(s string) bool {
	clear, asked := t.clearly(s, clearFrom) != "", t.loaded.Kind != "" && (t.Talk.Kind == "recipe" || len(t.Replies) == 0)
	answers := t.Talk.Kind == t.loaded.Kind && (asked || t.answersFirst(s))
	if len(strings.Fields(s)) < fragment && len(t.slotsOf(s).Named()) == 0 && !clear && !answers {
		return false // "ok good"
	}
	n, asks := len(t.Replies), t.Talk.Kind != "" && !answers
	if answers && n > 0 { // what was asked in this turn
		t.Talk.Offer = &offer{At: t.Event.At, Buttons: slices.Concat(t.LastReply().Buttons...)}
	}
	find := func() bool {
		t.findIn(s)
		return t.lost == ""
	}
	switch {
	case answers:
	case clear && t.Talk.Kind != "": // which it is no answer to
		find = func() bool { return t.hear(t.reg.hears.First, s) || t.exact(s) || t.meant(s) }
	case !clear: // no reader of what is told of dogs
		find = func() bool {
			return !t.fitsByChance(s) && Sentence(t, s) || !slices.Contains([]string{"health.signs", "help"}, Likeliest(t, s).Intent) && t.meant(s)
		}
	}
	heard := t.As(s, func() bool { return answers && find() || !answers && t.beside(find) })
	if !heard && answers {
		t.Replies, t.lost = t.Replies[:n], ""
		heard = t.As(s, func() bool { return t.beside(func() bool { return t.exact(s) || t.meant(s) }) })
	}
	if !heard {
		t.Replies, t.lost = t.Replies[:n], ""
		return false
	}
	if says := t.hearAs(s, "").Says; len(says) > 0 {
		if d := t.DogNamed(says[0].Readings[0].Slots["dog"]); d != nil {
			t.Talk.Dog = d.ID // "Pip 19.4. she ate all of it"
		}
	}
	if said := slices.Clone(t.Replies[n:]); asks && n > 0 {
		t.Replies = slices.Concat(t.Replies[:n-1], said, t.Replies[n-1:n])
	}
	return true
}

// correctsTold reports that a sentence puts right what another says.
func correctsTold(s string) bool { return read.Says("corrects-told", s) }

// isOne reports that what a text says in several sentences is one thing.
func (t *Turn) isOne(text string, sentences []string) bool {
	if is, _ := t.Understand(sentences[0]); is.Intent == read.RenameRecipe || slices.ContainsFunc(sentences, func(s string) bool {
		return len(t.RecipeText(s).Lines) > 0 && IsLine(t, s)
	}) {
		return true // and what is asked of it
	}
	if name := read.Find("new-dog", text); name != "" && t.DogNamed(name) == nil || read.Says("another-dog", text) && len(read.NewNames(text, t.Names(), true)) == 1 {
		return true // and what "he" is
	}
	_, isNote := foodline.NoteText(text)
	return isNote || read.Says("away-said", text) && read.Says("sitter-said", text) || read.Says("many-lines", text) || strings.Count(text, "\n") >= aList || t.reg.Forms[t.loaded.Kind].Verbatim != nil || t.opensAsOne(text) || len(t.RecipeText(text).Lines) > 1
}

// passedOver is what a sentence says that is to be recorded or answered, where nothing of its
// kind is in this turn, nor all that it names.
func (t *Turn) passedOver(text, part string) (best read.Reading, is bool) {
	if len(strings.Fields(part)) < 2 || !say.HasLetters(part) || t.Alarm(part).Level > alarm.Watch || IsLine(t, part) {
		return best, false
	}
	if t.ordersReminder(part) {
		return orderedReminder, true
	}
	says := t.hearAs(part, "").Says
	if len(says) != 1 || says[0].Do != read.Act {
		return best, false
	}
	best = says[0].Readings[0]
	kind, cost := kindOf(best), read.CostOf(best.Intent)
	missed := t.unused(part)
	named, other := len(missed) > 0, slices.ContainsFunc(missed, func(w string) bool { return t.DogNamed(w) != nil })
	if cost == read.Reaches || t.early(best) || t.did(kind) && !other {
		return best, false
	}
	if asked := t.Talk.Kind != "" || t.loaded.Kind != ""; asked && (best.P < surelyElse || strings.Contains(text, "\n") || slices.Contains([]string{t.Talk.Kind, t.loaded.Kind, "recipe", "bowl", "kcal"}, kind)) {
		return best, false
	}
	a, ill := t.Alarm(text), t.did("health")
	switch {
	case read.IsQuestion(part):
		return best, best.Intent != "help" && cost == read.Reads && !ill && a.Asked == nil && a.Food == nil && (named || t.Before != nil)
	case best.Intent == "health.signs":
		return best, t.Alarm(part).Level == alarm.Watch
	case ill && (kind == "treat" || best.P < surelyElse):
		return best, false
	}
	same := func(st read.Statement) bool { return kindOf(st.Readings[0]) == kind }
	return best, cost == read.Writes && (named || !slices.ContainsFunc(t.heard(text).Says, same))
}

// alsoDoes does what one sentence says beside what was answered; an open question stands
// last. What is to be recorded and is not done at once is said as not used.
func (t *Turn) alsoDoes(part string, best read.Reading) {
	n, talk, before := len(t.Replies), t.Talk, t.written()
	t.As(part, func() bool {
		return t.beside(func() bool { return t.exact(part) || t.does(best, part) })
	})
	said := slices.Clone(t.Replies[n:])
	asks := t.Talk.Kind != "" && t.Talk.Kind != talk.Kind
	chooses := read.In("intent:told-alone", best.Intent) && !asks && len(said) > 0 && len(said[0].Buttons) > 0 && !slices.ContainsFunc(t.Replies[:n], func(r say.Reply) bool {
		return slices.Contains(r.Body, said[0].Body[0])
	}) // "already fed", "who was fed?"
	switch {
	case t.written() == before && !chooses && (!read.IsQuestion(part) || asks && talk.Kind != ""):
		t.Talk, t.lost, said = talk, "", nil
		t.Unused(part)
		fallthrough
	case talk.Kind != "" && n > 0:
		t.Replies = slices.Concat(t.Replies[:n-1], said, t.Replies[n-1:n])
	}
}
