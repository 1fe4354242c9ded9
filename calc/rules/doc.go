// Package rules looks over a whole build and says what will hurt, what will fail and what is worth a look: each with what
// is there, what should be, where the rule comes from, and how to mend it.
//
// A rule speaks only of what is known. Where something is missing, it counts as what is kindest to the build: a current
// that nobody named as none, a run that was not measured as no length, insulation that nobody named as the best there
// usually is. So what is found is so whatever the missing answers are, and what stays open is told in findings of its own,
// "not checked, because …".
package rules
