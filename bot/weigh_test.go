package bot

func init() {
	dynamic = append(dynamic, "weigh-wrong.", "decide.", "goal.", "score.")
}
