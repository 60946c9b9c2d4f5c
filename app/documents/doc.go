// Package documents makes what is handed out: sheets as PDF, drawings, tables and the
// survey, in packs for those who have to do with a site, and hands them to the phone's
// share sheet or to the browser to save.
package documents
