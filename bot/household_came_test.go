package bot

import (
	"context"
	"testing"
)

// TestLeftGroupThatMoved takes out of the household who came by a group that
// has become another since, by a link from before it did.
func TestLeftGroupThatMoved(t *testing.T) {
	const later = "x/-100200"
	w := newWorld(t)
	w.handle(w.inGroup("Ines", "/dog Juniper 19.6 kg", false))
	w.handle(w.inGroup("Tomas", "/today", false)) // Tomas came by the group
	payload := link(t, w.handle(w.inGroup("Ines", "/share", false)))
	lenas := link(t, w.handle(w.inGroup("Ines", "/share", false)))
	w.says("Tomas", "/start "+payload)
	ctx := context.Background()
	if err := w.a.MoveChat(ctx, group, later); err != nil {
		t.Fatal(err)
	}
	w.says("Lena", "/start "+lenas)
	for _, who := range []string{"Tomas", "Lena"} {
		if of, err := w.a.GroupOf(ctx, "x/"+who, "x/"+who); of != later || err != nil {
			t.Errorf("%s has to be in %q, %v", who, of, err)
		}
		if err := w.a.StillIn(ctx, later, "x/"+who, w.at); err != nil {
			t.Fatal(err)
		}
		if err := w.a.LeftGroup(ctx, later, "x/"+who, w.at); err != nil {
			t.Fatal(err)
		}
		if w.home(who) != "" {
			t.Errorf("%s still belongs to it", who)
		}
	}
}
