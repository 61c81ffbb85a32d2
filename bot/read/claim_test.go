package read

import (
	"testing"

	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/language"
)

func TestClaim(t *testing.T) {
	for _, text := range []string{
		"This bowl heals everything.", "It cured her of cancer.", "A natural remedy", "Treats kidney disease.",
		"I made it for my old boy.\nIt helps with arthritis a lot", "Prevents bladder stones", "Feed it instead of medication.",
		"You can stop the insulin", "detoxifies the liver", "Anti-inflammatory bowl", "For dogs with pancreatitis", "for diabetic dogs",
		"Not only tasty: it cures allergies", "good for itchy skin and yeast", "It won't hurt, but it cures worms", "gets rid of giardia",
		"Your dog's arthritis will go, no vet needed", "No vet needed", "You won't need a vet", "the itching is gone", "for senior dogs with kidney disease", "it shrinks tumours", "A cure for cancer",
		"Good for kidneys, my vet swears by it", "kidney-friendly", "supports the immune system", "for bad joints", "easy on old kidneys",
	} {
		if Claim(text) == "" {
			t.Errorf("%q claims nothing", text)
		}
	}
	for _, text := range []string{
		"Turkey, hearts and a little liver for a quiet adult dog.", "Keep treats under a tenth of the day.", "It does not cure anything.",
		"Not for dogs with pancreatitis.", "No medicine: ask your vet if your dog is ill.", "Serve with cured ham? Never.",
		"For healthy adults of 5 to 40 kg.", "Without chicken, for dogs that are allergic to it.", "This isn't a treatment for any illness.",
		"Helps me use up the freezer.", "Easy to batch, good for a week.", "Not suitable for dogs with kidney disease.", "She eats it with joy.",
		"Cook the rice to a pulp to stop it clumping", "For dogs with a good appetite", "Clear the bowl after an hour.",
		"Good for two days in the fridge, and easy on the purse", "Good for dogs that like hearts and liver", "With lamb liver and kidneys for the iron",
	} {
		if words := Claim(text); words != "" {
			t.Errorf("%q claims %q", text, words)
		}
	}
}

func TestUnfit(t *testing.T) {
	for text, want := range map[string]bool{
		"Fry a little onion with it": true, "Then stir in the raisins.": true, "a clove of garlic for taste": true, "Sweeten it with xylitol": true,
		"give 10 mg prednisolone with it": true, "Metacam goes on top": true, "No onion. Add garlic.": true, "without salt, with onion": true,
		"without onion": false, "Never any garlic or onion": false, "Leave out the raisins": false, "onion-free": false, "No onion, garlic or raisins": false, "Don't add garlic": false, "Do not serve it with onion": false,
		"Cook it for 20 minutes and cool it": false, "No medicine: ask your vet": false, "Ask your vet before you change any medication": false,
		"crush in one ibuprofen tablet": true, "a lily leaf for colour": true, "a drop of tea tree oil on top": true, "Don't overcook it and stir in garlic": true,
		"Never overcook, garlic to finish": true, "no leek and add onion": true, "fry a clove of garlick": true, "Boil it, then put cooked bones in": true,
		"no onion, garlic": false, "No onions, leeks, chives": false, "Leave the onion out": false, "Keep grapes away from the bowl": false, "Contains no garlic": false,
		"Never with onions or chocolate; a dog that ate grapes may die": false, "Grind the chicken bones raw": false, "Give any medicine apart from it": false,
		"Grapes are toxic": false, "1 capsule of vitamin E, 400 IU": false, "Turkey instead of chicken": false,
	} {
		if got, found := alarm.Unfit(text); found != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

func TestNotMadeFor(t *testing.T) {
	for text, want := range map[string]bool{
		"Puppies from 8 weeks and dogs with kidney disease": true, "Healthy adult dogs and pups": true, "Nursing bitches": true, "diabetic seniors": true,
		"Dogs on insulin": true, "All life stages": true,
		"Healthy adult dogs": false, "For small and large dogs that are grown up": false, "Adults, not for puppies": false, "Not for dogs that are ill": false,
		"Quiet dogs of 5 to 40 kg": false, "Dogs that like hearts and liver": false,
	} {
		if got := NotMadeFor(text, false) != ""; got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
	if words := NotMadeFor("Growing pups", true); words != "" {
		t.Errorf("growth: %q", words)
	}
}

func TestAsksBack(t *testing.T) {
	for text, want := range map[string]bool{
		"who can see it?": true, "wait, will my name be shown?": true, "wait": true, "what do the readers see then?": true, "yes withdraw it": true,
		"who can see it": true, "what happens then": true,
		"Do not feed it: too much salt": false, "Is too salty": false, "When I weighed it again it was too salty": false, "Less heart": false,
		"What changes: less heart": false, "The quay kitchen": false, "Can be frozen for a month": false, "Waiting for hearts": false, "OK kitchen": false, "ok": true,
	} {
		if got := language.Says("asks-back", text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
