package planner

import (
	"slices"
	"time"

	"bowlwright/nutrition"
)

// Household is the carers, dogs and recipes that belong together, and the
// unit of access: a chat sees only its own.
type Household struct {
	ID     string  `json:"id"`
	Rev    uint64  `json:"rev,omitempty"` // counts the times it was written
	Carers []Carer `json:"carers,omitempty"`
	Gone   []Carer `json:"gone,omitempty"` // who left or was removed, newest last
	// Came is the chat by which a carer came, by person: a group, or the
	// person's own. Of who is not in it that is not known.
	Came    map[string]string `json:"came,omitempty"`
	Dogs    []Dog             `json:"dogs,omitempty"`
	Recipes []Recipe          `json:"recipes,omitempty"`
	Foods   []nutrition.Food  `json:"foods,omitempty"` // the household's own, from labels
	Labs    []Lab             `json:"labs,omitempty"`  // what laboratories measured of foods, each food once
	Units   Units             `json:"units"`
	Zone    string            `json:"zone"` // IANA name; "UTC" until set
	Profile string            `json:"profile,omitempty"`
	AtRisk  bool              `json:"at_risk,omitempty"` // a young child, pregnant, elderly or immune-suppressed person at home
	LastID  int               `json:"last_id"`           // the last number given to a dog, recipe or food
	Told    map[string]bool   `json:"told,omitempty"`    // cautions already given
	Created time.Time         `json:"created"`

	Cautions map[string]Caution `json:"cautions,omitempty"` // when which was said last

	Reminders   []Reminder   `json:"reminders,omitempty"`
	Rotations   []Rotation   `json:"rotations,omitempty"`
	Transitions []Transition `json:"transitions,omitempty"` // of each dog at most one that is not done
	Others      []Other      `json:"others,omitempty"`      // what dogs eat beside or in place of their usual food
	Snoozes     []Snooze     `json:"snoozes,omitempty"`
	Pauses      []Pause      `json:"pauses,omitempty"`
	Quiet       Quiet        `json:"quiet,omitzero"`
	Numbers     Numbers      `json:"numbers,omitzero"`
	Packs       []Lot        `json:"packs,omitempty"`   // what was frozen, while any may be left
	PacksTo     Date         `json:"packs_to,omitzero"` // the meals of days before it are in the moves of Packs
	NoFreezer   bool         `json:"no_freezer,omitempty"`
	Shop        *ShopList    `json:"shop,omitempty"`      // what to buy; nil: there is no list
	Spoiled     *Spoiled     `json:"spoiled,omitempty"`   // the pot that was last told to have in it what dogs must not have
	AtHome      []AtHome     `json:"at_home,omitempty"`   // each food and unit once
	Currency    string       `json:"currency,omitempty"`  // of its prices, ISO 4217; empty: nobody said
	Prices      []Price      `json:"prices,omitempty"`    // each food once
	PorkFree    bool         `json:"pork_free,omitempty"` // its vet says that the country is free of Aujeszky's disease

	Amounts bool `json:"amounts,omitempty"` // the dogs' daily amounts and goal weights are records; see Adopt
}

// Spoiled is a pot of food that dogs must not have, as it was told.
type Spoiled struct {
	Date Date   `json:"date"`
	Text string `json:"text"`
	Key  string `json:"key"` // of what went into it

	Recipe string `json:"recipe,omitempty"` // id of what was cooked, where that was told
}

// Dog returns the dog of an id, nil where the household has none.
func (h *Household) Dog(id string) *Dog {
	return FirstOf(h.Dogs, func(d *Dog) bool { return d.ID == id })
}

// FirstOf is the first of some that is as it says, nil where none is.
func FirstOf[T any](all []T, is func(*T) bool) *T {
	for i := range all {
		if is(&all[i]) {
			return &all[i]
		}
	}
	return nil
}

// FirstOrAdded is the first of some that is as it says, or a new one that is added to them.
func FirstOrAdded[T any](all *[]T, is func(*T) bool, added T) *T {
	if first := FirstOf(*all, is); first != nil {
		return first
	}
	*all = append(*all, added)
	return &(*all)[len(*all)-1]
}

// Recipe returns a recipe of the household, nil where it has none of that id.
func (h *Household) Recipe(id string) *Recipe {
	return FirstOf(h.Recipes, func(r *Recipe) bool { return r.ID == id && id != "" })
}

// Forget takes a person's name and id out of the household.
func (h *Household) Forget(person string) {
	is := func(c Carer) bool { return c.Person == person }
	h.Carers, h.Gone = slices.DeleteFunc(h.Carers, is), slices.DeleteFunc(h.Gone, is)
	delete(h.Came, person)
	if h.Shop != nil {
		for i := range h.Shop.Lines {
			if l := &h.Shop.Lines[i]; l.Got == person {
				l.Got = someone
			}
		}
	}
}

// someone is who ticked a line off and is forgotten.
const someone = "someone"

// Numbers are the telephone numbers to call for a dog that needs help, as
// typed; an empty one is not known.
type Numbers struct {
	Vet    string `json:"vet,omitempty"`
	Clinic string `json:"clinic,omitempty"` // for emergencies
	Poison string `json:"poison,omitempty"` // an animal poison line
}

// Carer is a person who feeds the household's dogs.
type Carer struct {
	Person string `json:"person"` // adapter's identifier: "terminal/Ines"
	Name   string `json:"name"`
	Called string `json:"called,omitempty"` // what this person wants to be called; empty for the adapter's name
	Pen    string `json:"pen,omitempty"`    // the name under which this person publishes
}

// Units is how a household reads and writes amounts.
type Units struct {
	Ounces bool `json:"ounces,omitempty"` // food in oz rather than g
	Pounds bool `json:"pounds,omitempty"` // dogs in lb rather than kg
}

// Sex of a dog; the zero value is not known.
type Sex string

// The sexes as stored.
const (
	Female Sex = "female"
	Male   Sex = "male"
)

// Answer is yes, no, or (zero) not known.
type Answer string

// The answers as stored.
const (
	Yes Answer = "yes"
	No  Answer = "no"
)

// Activity is how much a dog moves in a day; the zero value is not known.
type Activity string

// Activity classes of the FEDIAF annex on energy.
const (
	LowActivity   Activity = "low"      // under 1 h a day, on the lead
	ModerateCalm  Activity = "moderate" // 1-3 h a day, low impact
	ModerateBrisk Activity = "brisk"    // 1-3 h a day, high impact
	HighActivity  Activity = "high"     // 3-6 h a day, working
)

// Stage is a life stage beyond what age tells; the zero value is none.
type Stage string

// The stages as stored.
const (
	Pregnant Stage = "pregnant"
	Nursing  Stage = "nursing"
)

// Dog is what is known of a dog. Zero fields are not known.
type Dog struct {
	ID          string              `json:"id"`
	Name        string              `json:"name"`
	Weight      nutrition.Kilograms `json:"weight_kg"`
	Weighed     time.Time           `json:"weighed,omitzero"`
	Ideal       nutrition.Kilograms `json:"ideal_kg,omitempty"`        // the goal weight; see SetGoal
	IdealFrom   GoalFrom            `json:"ideal_from,omitempty"`      // what it rests on
	IdealScore  int                 `json:"ideal_score,omitempty"`     // and the score, where that is one
	AdultWeight nutrition.Kilograms `json:"adult_weight_kg,omitempty"` // expected, of a growing dog
	Born        time.Time           `json:"born,omitzero"`             // midnight UTC of the birth date
	BornAbout   bool                `json:"born_about,omitempty"`      // Born was worked out from an age
	Sex         Sex                 `json:"sex,omitempty"`
	Neutered    Answer              `json:"neutered,omitempty"`
	Activity    Activity            `json:"activity,omitempty"`
	Condition   int                 `json:"condition,omitempty"` // body condition score 1-9
	Stage       Stage               `json:"stage,omitempty"`
	Health      string              `json:"health,omitempty"`  // a carer's notes, as typed
	Healthy     bool                `json:"healthy,omitempty"` // a carer said, asked once, that it is a healthy adult,
	Puppy       bool                `json:"puppy,omitempty"`   // or a puppy,
	Ill         bool                `json:"ill,omitempty"`     // or ill or on medicine
	Fasting     time.Time           `json:"fasting,omitzero"`  // told that day: nothing eaten for three days; until a vet's word
	Died        time.Time           `json:"died,omitzero"`     // told that day; its reminders are stopped, its records stay
	Excludes    []string            `json:"excludes,omitempty"`
	Limits      []string            `json:"limits,omitempty"` // what its vet has its food keep to, as typed
	// StoresCopper: it is of a breed that is inclined to store copper in its liver.
	StoresCopper bool `json:"stores_copper,omitempty"`

	Meals     int            `json:"meals,omitempty"`      // a day; 0 counts as 2
	Kcal      nutrition.Kcal `json:"kcal,omitempty"`       // the daily amount in force; 0: none yet
	InForce   InForce        `json:"in_force,omitzero"`    // and its ground; see PutInForce
	Recipe    string         `json:"recipe,omitempty"`     // id of the recipe it eats where no rotation says another
	Without   []string       `json:"without,omitempty"`    // ids of recipes that it is not to get
	ByScale   bool           `json:"by_scale,omitempty"`   // InForce.Ground is OnSuggestion; told of older records too
	ByVet     bool           `json:"by_vet,omitempty"`     // it is OnVet
	FeedAt    []Clock        `json:"feed_at,omitempty"`    // when it is fed, rising
	TreatsOff bool           `json:"treats_off,omitempty"` // treats are taken off the bowl
	Less      Less           `json:"less,omitzero"`        // what comes off its next meals
	Goal      Goal           `json:"goal,omitempty"`       // what its weight is to do; empty: as the condition says
	Litter    Litter         `json:"litter,omitzero"`      // of one that carries or nurses pups, and of the last
}

// Goal is what a dog's weight is to do.
type Goal string

// The goals as stored.
const (
	HoldGoal Goal = "hold"
	LoseGoal Goal = "lose" // to the ideal weight, 1-2 % a week
	GainGoal Goal = "gain"
	GrowGoal Goal = "grow"
)

// Recipe is a list of ingredients and supplements, independent of a dog.
type Recipe struct {
	ID          string       `json:"id"`
	Name        string       `json:"name"`
	Ingredients []Ingredient `json:"ingredients"`
	Doses       []Dose       `json:"doses,omitempty"`
	Days        float64      `json:"days,omitempty"` // how many days' food it is as written; 0 counts as 1

	Cup nutrition.Grams `json:"cup_g,omitempty"` // what a level cup of it weighs, as a carer measured it; 0: not known

	Method   string    `json:"method,omitempty"`   // how it is made, as typed
	Notes    []Note    `json:"notes,omitempty"`    // why each food is there
	Standing Standing  `json:"standing,omitzero"`  // what its author says of it
	Lab      Lab       `json:"lab,omitzero"`       // what a laboratory measured of it
	Cooking  Cooking   `json:"cooking,omitzero"`   // what it weighed cooked
	Number   int       `json:"version,omitempty"`  // which version it is; 0 counts as 1
	Since    time.Time `json:"since,omitzero"`     // when it became that; zero: not known
	Shown    bool      `json:"shown,omitempty"`    // a bowl of this version was shown
	Versions []Version `json:"versions,omitempty"` // what it was before, the oldest first; see MostVersions
	From     Origin    `json:"from,omitzero"`      // what it was adopted from
}

// Ingredient is a weighed food of a recipe.
type Ingredient struct {
	Food  string          `json:"food"` // key in the table or of the household's own foods
	Grams nutrition.Grams `json:"grams"`
	Typed string          `json:"typed,omitempty"` // the line as the carer wrote it
	Label []Fact          `json:"label,omitempty"` // what its package says, over the table
}

// Fact is a nutrient content from a label, in the nutrient's unit per gram.
type Fact struct {
	Nutrient nutrition.Nutrient `json:"nutrient"`
	PerGram  float64            `json:"per_gram"`
}

// Dose is a supplement of a recipe that is given by count or by amount of an
// active nutrient, with a cadence, rather than weighed into the food.
type Dose struct {
	Food    string          `json:"food"`               // key: "vitamin-e", "fish-oil-capsule", ...
	Count   float64         `json:"count,omitempty"`    // capsules, drops, ...; 0 where only an amount is named
	Form    string          `json:"form,omitempty"`     // "capsule", "drop", "tablet", "pump", ...
	Grams   nutrition.Grams `json:"grams,omitempty"`    // mass of the whole dose, where known
	Amounts []Amount        `json:"amounts,omitempty"`  // active nutrients of the whole dose
	Per1000 bool            `json:"per_1000,omitempty"` // the dose is for each 1000 kcal fed, not for each dog
	Batch   bool            `json:"batch,omitempty"`    // the dose is stirred into the whole recipe, not given by the day
	Cadence Cadence         `json:"cadence"`
	Typed   string          `json:"typed,omitempty"`
}

// Amount is so much of a nutrient, in the nutrient's unit.
type Amount struct {
	Nutrient nutrition.Nutrient `json:"nutrient"`
	Amount   float64            `json:"amount"`
}

// Cadence is how often a supplement is given. Exactly one of the fields is
// set; the zero value is every day.
type Cadence struct {
	EveryDays int            `json:"every_days,omitempty"` // every n days, 1-366
	Weekdays  []time.Weekday `json:"weekdays,omitempty"`   // on these, in order from Sunday
	PerWeek   int            `json:"per_week,omitempty"`   // so many times a week, 1-7
}

// PerDay returns how many doses fall on a day on average.
func (c Cadence) PerDay() float64 {
	switch {
	case c.EveryDays > 0:
		return 1 / float64(c.EveryDays)
	case len(c.Weekdays) > 0:
		return float64(len(c.Weekdays)) / 7
	case c.PerWeek > 0:
		return float64(c.PerWeek) / 7
	}
	return 1
}

// Caution records when a household was last told a caution, and when a carer
// waved it off.
type Caution struct {
	Said  time.Time `json:"said,omitzero"`
	Waved time.Time `json:"waved,omitzero"`
}

// How often cautions are said: weekly where the food fails the dog, after three
// months where it was read or waved off.
const (
	Weekly      = 7 * 24 * time.Hour
	ThreeMonths = 90 * 24 * time.Hour
)

// CautionDue reports that a caution is to be said: it was not said for so long,
// and not waved off in the last three months. Where a household was told it
// before times were recorded, it counts as told now.
func (h *Household) CautionDue(key string, every time.Duration, now time.Time) bool {
	c, ok := h.Cautions[key]
	if !ok && h.Told[key] {
		h.SayCaution(key, now)
		return false
	}
	return (c.Said.IsZero() || now.Sub(c.Said) >= every) && (c.Waved.IsZero() || now.Sub(c.Waved) >= ThreeMonths)
}

// SayCaution records that a caution was said.
func (h *Household) SayCaution(key string, now time.Time) {
	h.caution(key, func(c *Caution) { c.Said = now.UTC() })
}

// WaveOff records that a carer waved a caution off.
func (h *Household) WaveOff(key string, now time.Time) {
	h.caution(key, func(c *Caution) { c.Waved = now.UTC() })
}

func (h *Household) caution(key string, change func(*Caution)) {
	if h.Cautions == nil {
		h.Cautions = map[string]Caution{}
	}
	c := h.Cautions[key]
	change(&c)
	h.Cautions[key] = c
}
