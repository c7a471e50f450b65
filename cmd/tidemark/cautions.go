package main

// followClinician stands on every page that advises.
const followClinician = "These limits follow rules that your clinician can change. If your clinician's plan differs, follow your clinician."

// redFlags say when not to look at limits at all, whom to call, and how soon
// (the red flags of the rehab reference, 5.8).
const redFlags = "Not for this program: a sudden snap or kick at the heel, or a foot that cannot rise on its toes: stop, see a doctor the same day. " +
	"A calf that is swollen, warm, red or painful at rest, chest pain or breathlessness: call the emergency number. " +
	"Pain at night or at rest, fever, an ache at one spot of a bone: no running until a doctor has seen it, urgently. " +
	"An antibiotic such as ciprofloxacin or levofloxacin, now or in recent months: stop loading and call who prescribed it the same day."
