package bot

func init() {
	dynamic = append(dynamic, "entry.", "entry-short.", "due.about-", "treat.now-", "treat.sum", "treat.over")
}
