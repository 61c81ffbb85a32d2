package read

import "testing"

func TestClaim(t *testing.T) {
	for _, text := range []string{
		"This bowl heals everything.", "It cured her of cancer.", "A natural remedy", "Treats kidney disease.",
		"I made it for my old boy.\nIt helps with arthritis a lot", "Prevents bladder stones", "Feed it instead of medication.",
		"You can stop the insulin", "detoxifies the liver", "Anti-inflammatory bowl", "For dogs with pancreatitis", "for diabetic dogs",
		"Not only tasty: it cures allergies", "good for itchy skin and yeast", "It won't hurt, but it cures worms", "gets rid of giardia",
		"for senior dogs with kidney disease", "it shrinks tumours", "A cure for cancer",
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
	} {
		if words := Claim(text); words != "" {
			t.Errorf("%q claims %q", text, words)
		}
	}
}
