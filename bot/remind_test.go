package bot

func init() {
	dynamic = append(dynamic, "button.remind-", "button.missed-", "remind.missed-", "remind.also-called.", "often.")
}
