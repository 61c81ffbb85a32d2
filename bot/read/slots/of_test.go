package slots

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

var slotContext = span.Context{
	Names:  span.Names{Dogs: named([]string{"Juniper", "Bracken", "Pip"}), Recipes: named([]string{"Turkey and heart", "Lamb and mackerel", "Rabbit and kale"})},
	Carers: named([]string{"Tomas"}),
}

// TestSlotsOf shows the forms of values.
func TestSlotsOf(t *testing.T) {
	for _, row := range [][3]string{
		{"weight.log", "bracken was 27,4 kilo on sunday", "dog:Bracken weight:27.4 kg when:sunday"},
		{"weight.log", "Junpier lost 300 g", "dog:Juniper weight:-300 g"},
		{"weight.log", "pip 8 kilos 600 or so", "dog:Pip weight:8.6 kg"},
		{"weight.log", "me with bracken 101,3, me alone 74", "dog:Bracken weight:27.3 kg"},
		{"weight.log", "pip 8.2 with his collar, 8 without", "dog:Pip"},
		{"weight.log", "pip is 8 point 2", "dog:Pip weight:8.2 kg"},
		{"weight.fix", "pip should be 8.3 not 3.8", "dog:Pip value:pip should be 8.3 not 3.8 weight:8.3 kg"},
		{"fix.dog", "that was pips not brackens", "dog:Pip"},
		{"fed.log", "tomas fed all but pip at 7.15 pm", "dog:Juniper, Bracken time:19:15 who:Tomas"},
		{"fed.log", "juniper, bracken is still asleep", ""},
		{"fed.log", "bracken and nobby had theirs at six", ""},
		{"feedtimes.set", "feed them at 7, noon and 6", "time:07:00, 12:00, 18:00"},
		{"feedtimes.set", "they eat at 7 and 6 now", "time:07:00, 18:00"},
		{"feedtimes.set", "dinner at half six", "meal:dinner time:18:30"},
		{"feedtimes.set", "feed them at six fifteen and 17 h 30", "time:06:15, 17:30"},
		{"weight.log", "bracken was twenty seven point four on 31.03.", "dog:Bracken weight:27.4 kg when:31.03."},
		{"weight.log", "bracken weighs 27.4.", "dog:Bracken weight:27.4 kg"},
		{"later", "give me half an hour", "when:in 30 minutes"},
		{"kcal.set", "the vet says 640 kcal for pip", "by:vet dog:Pip kcal:640"},
		{"kcal.set", "10% less for bracken", "dog:Bracken factor:-10 %"},
		{"scale.to", "double the turkey one", "factor:2 recipe:Turkey and heart"},
		{"recipe.use", "put juniper on the mackerel from tuesday", "dog:Juniper recipe:Lamb and mackerel when:tuesday"},
		{"supp.add", "vit e 200 iu every third day", "dose:200 IU every:3 days supp:vitamin e"},
		{"supp.add", "fish oil 2 pumps every other day", "dose:2 pumps every:2 days supp:fish oil"},
		{"switch.set", "switch pip over two weeks", "days:14 dog:Pip"},
		{"remind.set", "quiet from 22 to 7", "time:22:00-07:00 value:quiet from 22 to 7"},
		{"answer", "  about 5 years.", "value:about 5 years"},
	} {
		got := fmt.Sprint(In(strings.TrimSpace(row[1]), slotContext).Of(row[0]))
		if got = strings.TrimSuffix(strings.TrimPrefix(got, "map["), "]"); got != row[2] {
			t.Errorf("%s %q: %s, want %s", row[0], row[1], got, row[2])
		}
	}
}

func FuzzSlots(f *testing.F) {
	f.Add("tomas fed all but pip at half past", "Pip", 0)
	f.Add("x2 one and a half kg to 3-4 not", "", 60)
	f.Fuzz(func(t *testing.T, text, name string, hour int) {
		c := span.Context{Names: span.Names{Dogs: named([]string{name, "Pip"}), Recipes: named([]string{name})}, Units: planner.Units{Pounds: true}, Now: time.Unix(int64(hour)*3600, 0)}
		text, _ = span.FirstRunes(span.Clean(text), 2000)
		s := In(text, c)
		for intent := range slotsOfIntent {
			s.Of(intent)
		}
	})
}

func named(names []string) (all []span.Named) {
	for _, name := range names {
		all = append(all, span.Named{ID: name, Name: name})
	}
	return all
}
