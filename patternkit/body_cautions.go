package patternkit

// CautionsForChildren lists what makers of children's wear are usually warned
// of: cords, sleepwear and small parts. It is no statement of conformity; the
// rules of the place where the garment is worn decide.
func CautionsForChildren() Table {
	return Table{
		Title:   "Cautions for children's wear",
		Columns: []Column{{Head: "subject"}, {Head: "caution"}, {Head: "from"}},
		Rows: [][]string{
			{"cords, United States",
				"Upper outerwear of sizes 2T to 12: no drawstring at hood or neck. Sizes 2T to 16: at waist and hem at most 3 in (76 mm) beyond the channel when it is fully open, no toggles or knots, a one-piece cord bar-tacked in the middle.",
				"16 CFR 1120, ASTM F1816"},
			{"cords, European Union",
				"To 7 years or 134 cm: no cord at hood, head or neck, no halter ties. From 7 to 14 years (girls to 176 cm, boys to 182 cm): no free ends there.",
				"EN 14682"},
			{"sleepwear, United States",
				"Sizes 0 to 6X and 7 to 14 have rules on how cloth burns; infants' garments to 9 months and tight-fitting ones within given measurements are exempt. All clothing: 16 CFR 1610.",
				"16 CFR 1615, 1616"},
			{"small parts",
				"Under 3 years: no button or trim that can come off and fits the small-parts cylinder. Buttons are tried by a turn of 0.34 N·m and a pull.",
				"16 CFR 1501 (from memory), EN 71-1"},
		},
		Notes: []string{"These are reminders and no statement of conformity. Limits change: read the rules of the place where the garment will be sold or worn; local law decides."},
	}
}
