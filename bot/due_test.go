package bot

func init() {
	dynamic = append(dynamic, "entry.", "fed.word-", "due.which-", "entry-short.", "due.about-", "treat.now-", "treat.sum", "treat.over")
}
