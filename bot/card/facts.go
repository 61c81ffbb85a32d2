package card

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// completeBlock says how a recipe compares with its table, and what is not
// known of it.
func completeBlock(t *talk.Turn, r planner.Recipe, l balance.Looked, s *sums) block {
	all := len(l.Result.Rows)
	wrong, open := balance.FindingLines(t, l, all, all)
	off, _ := balance.SharesOffText(l)
	var byDay []string
	for _, d := range r.Doses {
		if forOneDog(d) && r.Days == 0 {
			byDay = append(byDay, t.FoodName(d.Food))
		}
	}
	return block{Head: msg("card.complete"), half: true, Lead: say.Unmarked(balance.VerdictText(l)),
		Paras: unmarked(paras(wrong, s.over, open, off)),
		Notes: paras(msg("card.basis", "table", msgProfile(l.Result.ProfileID)), say.Where(len(byDay) > 0, msg("card.not-counted", "foods", say.List(byDay))))}
}

func unmarked(lines []string) []string {
	for i := range lines {
		lines[i] = say.Unmarked(lines[i])
	}
	return lines
}

// cautions are what any reader has to know: whatever foods call for, for the
// smallest dog, and for a home with somebody frail in it. What is said of the
// same foods stands together.
func cautions(t *talk.Turn, l balance.Looked) []string {
	ctx := nutrition.CautionContext{Analysis: &l.Result, AtRisk: true, Weight: leastKilos}
	var whose, texts []string
	for _, c := range nutrition.Cautions(l.Mixture.Items, ctx) {
		foods := say.Capital(say.ListOf(c.Foods, t.FoodName))
		if c.Code == nutrition.HomeAtRiskCaution { // of all that is raw
			foods = ""
		}
		text := recipes.CautionText(nutrition.Caution{Code: c.Code}, t.Foods)
		if i := slices.Index(whose, foods); i >= 0 && foods != "" {
			texts[i] += " " + text
			continue
		}
		whose, texts = append(whose, foods), append(texts, text)
	}
	for i, foods := range whose {
		if foods != "" {
			texts[i] = foods + ": " + texts[i]
		}
	}
	return unmarked(paras(msg("card.caution-vet"), strings.Join(texts, "\n"), msg("card.caution-keep")))
}

// sourceRow is a food's source in the compiled-in Table: the table, and its row.
var sourceRow = regexp.MustCompile(`^(USDA SR26) (\d{5})$`)

// sources are where the figures are from.
func sources(t *talk.Turn, r planner.Recipe, l balance.Looked) []string {
	var tables, rest []string
	rows := map[string][]string{}
	for _, key := range r.Foods() {
		f := t.Foods.Food(key)
		if f == nil {
			continue
		}
		if m := sourceRow.FindStringSubmatch(f.Source); m != nil {
			if !slices.Contains(tables, m[1]) {
				tables = append(tables, m[1])
			}
			if !slices.Contains(rows[m[1]], m[2]) {
				rows[m[1]] = append(rows[m[1]], m[2])
			}
		} else if s := fmt.Sprintf("%s: %s", f.Name, f.Source); f.Source != "" && !slices.Contains(rest, s) {
			rest = append(rest, s)
		}
	}
	var out []string
	for _, table := range tables {
		out = append(out, msg("card.source-foods", "table", table, "rows", strings.Join(rows[table], ", ")))
	}
	if len(rest) > 0 {
		out = append(out, say.Capital(strings.Join(rest, "; "))+".")
	}
	out = append(out, paras(labText(l.Result.Rows))...)
	return append(out, msg("card.source-energy", "factor", say.Trim(nutrition.ActivityModerate.Factor(), 0)), msg("card.source-table", "table", msgProfile(l.Result.ProfileID)))
}

// labText says that some figures are a laboratory's; each is marked.
func labText(rows []nutrition.Row) string {
	measured := slices.ContainsFunc(rows, func(r nutrition.Row) bool { return r.Measured })
	return say.Where(measured, msg("card.source-lab"))
}

func msgProfile(id string) string { return say.Msg("profile." + id) }
