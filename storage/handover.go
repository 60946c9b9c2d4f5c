package storage

import "pegpour/engine/survey"

// HandOverState names what is signed at a hand-over: all that was measured, tested and
// ruled, without the signatures, and without what goes on afterwards (services, ticks,
// photos and notes, what the job used). Equal sites have equal names; one figure that changes changes it.
func HandOverState(d *Document) (Revision, error) {
	signed := *d
	signed.Survey = d.Survey.Clone()
	h := &signed.Survey.Build.HandOver
	h.Fitter, h.FitterSign, h.Owner, h.OwnerSign, h.Signed, h.SignedFor = "", "", "", "", "", ""
	h.Services = nil
	h.Hours, h.Loads, h.Spoil = survey.Value{}, survey.Value{}, survey.Value{}
	h.HoursDig, h.HoursForm, h.HoursPour, h.HoursHang, h.HoursWire = survey.Value{}, survey.Value{}, survey.Value{}, survey.Value{}, survey.Value{}
	signed.Survey.Build.Casting.Pour.Delivered = survey.Value{}
	signed.Survey.Quote = survey.Quote{} // what is paid is agreed apart from what was tested
	signed.Changed, signed.Ticks, signed.Photos, signed.Notes = "", nil, nil, nil
	text, err := Encode(&signed)
	if err != nil {
		return "", err
	}
	return NameRevision(text), nil
}
