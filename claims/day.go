package claims

import "weighhouse/measure/sheet"

// Days reports what lies after the day of issue and cannot: the day of a capture, of a letter to the maker, of its answer.
func (s *Spec) Days(issued string) (ps sheet.Problems) {
	const hint = "mend the day, or give the date of issue with --date"
	for _, c := range s.Claims {
		if c.Captured > issued {
			ps.Add(c.CapturedAt, hint, "found the capture's day %s; it is after the date of issue, %s", c.Captured, issued)
		}
	}
	for _, r := range s.Replies {
		if r.Sent > issued {
			ps.Add(r.SentAt, hint, "found the day %s on which it was sent; it is after the date of issue, %s", r.Sent, issued)
		}
		if r.Received > issued {
			ps.Add(r.ReceivedAt, hint, "found the day %s on which the answer came; it is after the date of issue, %s", r.Received, issued)
		}
	}
	return ps
}

// inOrder reports an answer, or a deadline, of a day before the letter.
func (r *Reply) inOrder(ps *sheet.Problems, row replyRow) {
	if r.Sent == "" {
		return
	}
	if r.Received != "" && r.Received < r.Sent {
		ps.Add(row.Received.Place, "", "found the answer's day %s; the letter that it answers was sent on %s, which cannot be later", r.Received, r.Sent)
	}
	if r.Deadline != "" && r.Deadline < r.Sent {
		ps.Add(row.Deadline.Place, "", "found the deadline %s; the letter was sent on %s, which cannot be later", r.Deadline, r.Sent)
	}
}
