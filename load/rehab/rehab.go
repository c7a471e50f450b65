// Package rehab is what happens beside the load: a complaint, the mornings that answer
// the runs, and what is judged of them.
//
// It is pure: data in, data out; today is an argument. It stores nothing and
// draws no conclusions for other packages: limits and findings leave it as values of
// load. Scores are 0 to 10, stiffness is in minutes.
package rehab
