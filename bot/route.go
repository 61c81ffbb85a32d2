package bot

import (
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
)

// command does what a /command asks; rest is what follows it.
type command func(t *turn, rest string)

// commands by name, without the slash. Each works as a bare first word too.
var commands map[string]command

// presses are what buttons do, by verb; args follow the verb in the data.
var presses map[string]func(t *turn, args []string)

// dialogues take the answer to the open question, by kind of dialogue.
var dialogues map[string]func(t *turn, in answer)

func init() {
	commands = map[string]command{
		"start":    (*turn).startCommand,
		"help":     func(t *turn, _ string) { t.help() },
		"dog":      (*turn).dogCommand,
		"recipe":   (*turn).recipeCommand,
		"scale":    (*turn).scaleCommand,
		"food":     (*turn).foodCommand,
		"today":    func(t *turn, _ string) { t.today() },
		"weigh":    (*turn).weighCommand,
		"settings": (*turn).settingsCommand,
		"undo":     func(t *turn, rest string) { t.undoSaid(rest) },

		"rotation":   (*turn).rotationCommand,
		"transition": (*turn).transitionCommand,

		"household": func(t *turn, _ string) { t.showCarers("") },
		"carers":    func(t *turn, _ string) { t.showCarers("") },
		"share":     (*turn).shareCommand,
		"export":    (*turn).exportCommand,
		"leave":     func(t *turn, _ string) { t.askLeave() },

		"remind":      (*turn).remindCommand,
		"reminders":   (*turn).remindCommand,
		"supplement":  (*turn).supplementCommand,
		"supplements": (*turn).supplementCommand,
		"pause":       (*turn).pauseCommand,
	}
	presses = map[string]func(t *turn, args []string){
		"answer":   (*turn).pressAnswer,
		"stop":     func(t *turn, _ []string) { t.stopDialogue() },
		"resume":   func(t *turn, _ []string) { t.resume() },
		"undo":     func(t *turn, args []string) { t.undo(arg(args, 0)) },
		"help":     func(t *turn, _ []string) { t.help() },
		"dog":      func(t *turn, args []string) { t.pressDog(args) },
		"recipe":   func(t *turn, args []string) { t.pressRecipe(args) },
		"bowl":     (*turn).pressBowl,
		"class":    (*turn).pressClass,
		"caution":  (*turn).pressCaution,
		"bone":     (*turn).pressBone,
		"scale":    (*turn).pressScale,
		"settings": (*turn).pressSettings,
		"food":     (*turn).pressFood,
		"weight":   (*turn).pressWeight,
		"rename":   (*turn).pressRename,
		"kcal":     (*turn).pressKcal,
		"amount":   (*turn).pressAmount,
		"analysis": (*turn).pressAnalysis,
		"swap":     (*turn).pressSwap,
		"house":    (*turn).pressHouse,
		"balance":  (*turn).pressBalance,
		"carers":   (*turn).pressCarers,

		"rotation":   (*turn).pressRotation,
		"transition": (*turn).pressTransition,
		"stool":      (*turn).pressStool,
		"due":        (*turn).pressDue,
		"today":      (*turn).pressToday,
		"feed":       (*turn).pressFeed,
		"treat":      (*turn).pressTreat,
		"weigh":      (*turn).pressWeigh,
		"score":      (*turn).pressScore,
		"export":     (*turn).pressExport,
		"sign":       (*turn).pressSign,
		"number":     (*turn).pressNumber,

		"remind":     (*turn).pressRemind,
		"supplement": (*turn).pressSupplement,
		"meals":      (*turn).pressMeals,
		"pause":      (*turn).pressPause,
		"quiet":      (*turn).pressQuiet,
	}
	dialogues = map[string]func(t *turn, in answer){
		"dog":      (*turn).dogDialogue,
		"dog-edit": (*turn).dogEditDialogue,
		"recipe":   (*turn).recipeDialogue,
		"scale":    (*turn).scaleDialogue,
		"balance":  (*turn).balanceDialogue,
		"food":     (*turn).foodDialogue,
		"settings": (*turn).settingsDialogue,
		"carers":   (*turn).carersDialogue,

		"rotation":   (*turn).rotationDialogue,
		"transition": (*turn).transitionDialogue,
		"weigh":      (*turn).weighDialogue,
		"four":       (*turn).fourDialogue,
		"vet":        (*turn).vetDialogue,
		"remind":     (*turn).remindDialogue,
		"feeding":    (*turn).feedingDialogue,
		"pause":      (*turn).pauseDialogue,
		"clock":      (*turn).clockDialogue,
		"sure":       (*turn).sureDialogue,
		"which":      (*turn).whichDialogue,
		"number":     (*turn).numberDialogue,
	}
}

// answer is what came to an open question: something typed, or the value of
// a button.
type answer struct {
	text  string // typed; empty where a button was pressed
	press string // the button's value
}

// value is what was answered, however it came.
func (a answer) value() string {
	if a.press != "" {
		return a.press
	}
	return a.text
}

func arg(args []string, i int) string {
	if i < len(args) {
		return args[i]
	}
	return ""
}

// longest is how many characters of a message are read; recipe pastes say
// what was cut off themselves.
const longest = 20000

// route finds who answers the event. Where that left a dialogue unfinished,
// the last reply offers to go on with it.
func (t *turn) route() {
	t.find()
	for i := range t.replies {
		vetOnce(&t.replies[i])
	}
	if t.left && len(t.replies) > 0 {
		t.replies[len(t.replies)-1].offer(t.button(msg("button.go-on-parked"), "resume"))
	}
}

func (t *turn) find() {
	if t.event.Press != "" {
		t.routePress()
		return
	}
	text := t.event.Text
	if utf8.RuneCountInString(text) > longest {
		t.sayMsg("trouble.long", "n", longest)
		return
	}
	clean := strings.TrimSpace(read.Clean(text))
	if clean == "" {
		t.sayMsg("trouble.empty")
		return
	}
	t.leaveStale()
	if t.urgent(clean) || t.routeCommand(clean) || t.routeDialogue(clean) {
		return
	}
	t.routeWords(clean)
}

// routeWords answers what is neither a command nor an answer to a question.
func (t *turn) routeWords(clean string) {
	if t.namesSign(clean) || t.dangerAsked(clean) || t.doneByOther(clean) || t.carerWords(clean) || t.rotationWords(clean) || t.transitionWords(clean) || t.treatWords(clean) || t.severalDue(clean) || t.dueWords(clean) || t.givenWords(clean) || t.weighWords(clean) || t.boneToCook(clean) || !strings.Contains(clean, "\n") && t.sentence(clean) || t.doseWords(clean) {
		return
	}
	if isStop(clean) {
		t.stopDialogue()
		return
	}
	if t.bareCommand(clean) || t.bareWeight(clean) || t.pastedRecipe(clean) || t.loneLine(clean) || t.aboutWhen(clean) || t.watchSign(clean) || t.bareZone(clean) || t.dogFacts(clean) || t.missingFacts(clean) || t.describedDog(clean) || t.bareNutrient(clean) || t.bareTomorrow(clean) || t.courtesy(clean) || t.nothingDue(clean) || t.cookedBone(clean) {
		return
	}
	t.notUnderstood(clean)
}

// routeCommand answers "/name rest"; a name that is no command is said.
func (t *turn) routeCommand(s string) bool {
	if !strings.HasPrefix(s, "/") {
		return false
	}
	name, rest := cutWord(s[1:])
	name, _, _ = strings.Cut(name, "@")
	if rest == "" && isStop(name) {
		t.stopDialogue()
		return true
	}
	if do, ok := commands[strings.ToLower(name)]; ok {
		do(t, rest)
		return true
	}
	t.sayMsg("trouble.command", "name", "/"+name)
	return true
}

// bareCommand answers a command written without its slash.
func (t *turn) bareCommand(s string) bool {
	name, rest := cutWord(s)
	name = strings.ToLower(strings.TrimSuffix(name, ":"))
	do, ok := commands[name]
	if ok && rest != "" && (name == "share" || name == "leave" || name == "start") {
		return false // "share of bone", "leave out the hearts", "start over"
	}
	if ok {
		do(t, rest)
	}
	return ok
}

// cutWord splits the first word, up to a space or a line end, from the rest.
func cutWord(s string) (word, rest string) {
	i := strings.IndexAny(s, " \t\n")
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// routeDialogue gives what was typed to the dialogue under way. The
// dialogue decides first; what it cannot use and is a sentence of its own is
// answered as one, and the open question stays.
func (t *turn) routeDialogue(s string) bool {
	d, ok := dialogues[t.talk.Kind]
	if !ok {
		return false
	}
	if isStop(s) {
		t.stopDialogue()
		return true
	}
	// "dog Rex 10 kg" begins a dog whatever is open, but for free words.
	if word, rest := cutWord(s); rest != "" && t.talk.Step != "health" && opensDialogue[strings.ToLower(word)] {
		return t.bareCommand(s)
	}
	if !t.halfOfAnswer(s) {
		d(t, answer{text: s})
	}
	return true
}

// opensDialogue are the commands that begin something new where more follows.
var opensDialogue = map[string]bool{"dog": true, "recipe": true, "settings": true}

// isStop reports that a person wants out of a dialogue.
func isStop(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "stop", "cancel", "never mind", "nevermind", "quit":
		return true
	}
	return false
}

// stopDialogue ends the dialogue under way; what was typed into it can be
// taken up again.
func (t *turn) stopDialogue() {
	if t.talk.Kind == "" {
		t.sayMsg("dialogue.none")
		return
	}
	kept := t.park()
	t.endDialogue()
	r := t.sayMsg("dialogue.stopped")
	if kept {
		r.offer(t.button(msg("button.go-on"), "resume"))
	}
}

// resume takes up the dialogue that was left unfinished.
func (t *turn) resume() {
	p := t.talk.Parked
	if p == nil {
		t.sayMsg("dialogue.nothing-parked")
		return
	}
	t.talk.Parked = nil
	t.talk.Kind, t.talk.Step, t.talk.Draft = p.Kind, p.Step, p.Draft
	t.askAgain()
}

// askAgain repeats the open question of the dialogue under way.
func (t *turn) askAgain() {
	switch t.talk.Kind {
	case "dog":
		var d dogDraft
		t.draft(&d)
		t.askNextDogStep(d)
	case "dog-edit":
		var d editDraft
		t.draft(&d)
		if dog := t.dog(d.Dog); dog != nil {
			t.editDog(dog, t.talk.Step)
			return
		}
		t.endDialogue()
		t.sayMsg("press.gone")
	case "remind":
		var d remindDraft
		t.draft(&d)
		if d.New && t.talk.Step != "twice" {
			t.askRemind(d, t.talk.Step)
			return
		}
		t.endDialogue()
		t.listReminders("")
	case "recipe":
		var d recipeDraft
		t.draft(&d)
		t.goOnWithRecipe(d, t.draftLines(d), nil)
	case "food":
		var d foodDraft
		t.draft(&d)
		if d.Label == nil {
			t.addFood("")
			return
		}
		t.askPart(*d.Label)
	case "rotation":
		var d rotationDraft
		t.draft(&d)
		t.askRotation(d)
	case "transition":
		var d transitionDraft
		t.draft(&d)
		t.askTransition(d)
	default:
		t.endDialogue()
		t.sayMsg("dialogue.nothing-parked")
	}
}

// routePress checks that the button belongs to this household and calls its
// verb.
func (t *turn) routePress() {
	parts := strings.Split(t.event.Press, ":")
	if len(parts) < 2 || parts[0] != t.mark() {
		t.sayMsg("press.foreign")
		return
	}
	do, ok := presses[parts[1]]
	if !ok {
		t.sayMsg("press.stale")
		return
	}
	if t.talk.Kind == "sure" && parts[1] != "answer" { // it was tapped, or something else was
		t.endDialogue()
	}
	do(t, parts[2:])
	if settling[parts[1]] && len(t.replies) > 0 {
		t.replies[0].Settles = t.replies[0].InPlace != ""
	}
}

// settling are the verbs of buttons under what fell due: an answer takes the
// place of the reminder even where others have come since.
var settling = map[string]bool{"due": true, "stool": true}

// pressAnswer gives a button's value to the dialogue whose open question the
// button belongs to.
func (t *turn) pressAnswer(args []string) {
	d, ok := dialogues[t.talk.Kind]
	if !ok || len(args) < 2 || args[0] != t.talk.Step {
		t.sayMsg("press.stale")
		return
	}
	d(t, answer{press: strings.Join(args[1:], ":")})
	if len(t.replies) > 0 {
		t.replies[0].InPlace = t.event.Message
	}
}
