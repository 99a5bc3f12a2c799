package main

import (
	"fmt"
	"strings"
)

// logs are cases whose log of the run with the unit on is wrong, or points where it may not.
func logs() map[string]files {
	sound := curve(6)
	change := func(old, fresh string) files { return bench().edit("logs/on.csv", old, fresh) }
	dates := stamped(6, "time", func(s int) string { return "04/05/2026 " + clock(s) })
	return map[string]files{
		"log-not-there":            dropped(bench(), "logs/on.csv"),
		"log-empty":                oneLog(""),
		"log-no-header":            oneLog(sound[strings.Index(sound, "\n")+1:]),
		"log-header-alone":         oneLog("time [s],pm1 (ug/m3)\n"),
		"log-wrong-value-column":   change("pm1", "pm2.5"),
		"log-wrong-time-column":    change("time [s]", "stamp"),
		"log-column-twice":         change("time [s],pm1 (ug/m3)", "time [s],pm1 (ug/m3),pm1 (ug/m3)"),
		"log-value-name-twice":     change("time [s],pm1 (ug/m3)", "time [s],pm1 (ug/m3),pm1 (mg/m3)"),
		"log-text-row":             change("600,", "600,ERR "),
		"log-text-rows":            oneLog(strings.NewReplacer("\n600,", "\n600,ERR ", "\n660,", "\n660,overload", "\n720,", "\n720,--").Replace(sound)),
		"log-thirty-text-rows":     oneLog(textRows(sound, 30)),
		"log-no-unit-of-time":      change("time [s]", "time"),
		"log-numbers-then-stamps":  change("\n600,", "\n2026-05-04 10:10:00,"),
		"log-stamps-then-numbers":  oneLog(strings.Replace(stamped(6, "time", func(s int) string { return "2026-05-04 " + clock(s) }), "2026-05-04 10:10:00,", "600,", 1)),
		"log-zone-then-no-zone":    oneLog(strings.Replace(stamped(6, "time", func(s int) string { return "2026-05-04T" + clock(s) + "Z" }), "10:10:00Z", "10:10:00", 1)),
		"log-day-month-unclear":    oneLog(dates),
		"log-impossible-day":       oneLog(strings.ReplaceAll(dates, "04/05/2026", "2026-02-30")),
		"log-impossible-clock":     oneLog(strings.Replace(stamped(6, "time", clock), "10:10:00", "10:61:00", 1)),
		"log-reading-without-time": change("\n600,", "\n,"),
		"odd-log-latin-1-header":   change("(ug/m3)", "(\xb5g/m\xb3)"),
		"log-latin-1-reading":      change("\n600,", "\n600,\xb5"),
		"log-gb-18030-header":      oneLog("\xca\xb1\xbc\xe4,\xc5\xa8\xb6\xc8\n" + sound[strings.Index(sound, "\n")+1:]),
		"log-utf-16-no-mark":       oneLog(wide(sound)),
		"log-nul-in-the-middle":    change("\n600,", "\n600\x00,"),
		"odd-log-latin-1-comment":  oneLog(sound + "# fin de l'\xe9t\xe9\n"),
		"log-comma-for-both":       oneLog("time [s],pm1 (ug/m3)\n0,\"1,402,000\"\n60,\"1,912\"\n120,\"0,8\"\n"),
		"log-comma-unclear":        oneLog("time [s]\tpm1 (ug/m3)\n0\t1,402\n60\t1,311\n120\t1,225\n"),
		"log-two-plugs":            oneLog(twoSensors(6)),
		"log-cut-to-the-minute":    oneLog(stamped(6, "time", func(s int) string { return fmt.Sprintf("2026-05-04 1%d:%02d", s/7200, s/120%60/5*5) })),
		"log-mm-ss":                oneLog(stamped(6, "time", func(s int) string { return fmt.Sprintf("%02d:%02d", s/60, s%60) })),
		"log-time-unclear":         oneLog(strings.ReplaceAll(stamped(6, "time UTC", func(s int) string { return "2026-05-04 " + clock(s) + ",2026-05-04 " + clock(s) }), "time UTC,pm1", "time UTC,time local,pm1")),
		"log-decimal-comma-bare":   change("\n600,", "\n600,1,"),
		"log-quote-never-closed":   change("\n600,", "\n\"600,"),
		"log-is-a-workbook":        dropped(bench(), "logs/on.csv").edit("lab/decay.csv", "logs/on.csv", "logs/on.xlsx").with("logs/on.xlsx", soundBook().pack()),
		"log-is-a-pdf":             dropped(bench(), "logs/on.csv").edit("lab/decay.csv", "logs/on.csv", "logs/on.pdf").with("logs/on.pdf", "%PDF-1.7\n"),
		"log-infinite-reading":     change("\n600,", "\n600,1e999"),
		"log-hexadecimal-reading":  change("\n600,", "\n600,0x"),
		"log-line-too-long":        oneLog("time [s],pm1 (ug/m3)\n0,400\nPAD\n"),
		"log-preamble-too-long":    oneLog("ROW\n"),
		"log-clock-with-zone":      oneLog(stamped(6, "time", func(s int) string { return clock(s) + "+02:00" })),
		"log-minutes-or-hours":     oneLog(stamped(6, "time (elapsed)", func(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) })),
		"log-two-runs-both-wrong":  bench().edit("lab/decay.csv", "off.csv,pm1", "off.csv,pm4").edit("lab/decay.csv", "on.csv,pm1", "on.csv,pm5"),
	}
}

// twoSensors is a long table: one row a sensor and reading.
func twoSensors(k float64) string {
	var b strings.Builder
	b.WriteString("sensor,time [s],pm1 (ug/m3)\n")
	for _, line := range strings.Split(strings.TrimSpace(curve(k)), "\n")[1:] {
		at, _, _ := strings.Cut(line, ",")
		fmt.Fprintf(&b, "bench,%s\nhall,%s,12\n", line, at)
	}
	return b.String()
}

// textRows puts words for the readings of n rows.
func textRows(log string, n int) string {
	lines := strings.Split(log, "\n")
	for i := 2; i < 2+n; i++ {
		at, _, _ := strings.Cut(lines[i], ",")
		lines[i] = at + ",overload"
	}
	return strings.Join(lines, "\n")
}

// paths are cases whose files lie outside, are no files, or stand there twice. What cannot be kept in a folder of plain
// files is made in the copy that is tested; see expected.csv.
func paths() map[string]files {
	log := func(path string) files { return bench().edit("lab/decay.csv", "logs/on.csv", path) }
	evidence := func(path string) files { return claims("C1,noise,52,dB(A),,max,,1 m,,box,2026-04-20," + path) }
	return map[string]files{
		"path-log-above-the-case":    log("../outside.csv"),
		"path-log-above-in-disguise": log("logs/../../outside.csv"),
		"path-log-absolute":          log("/etc/hostname"),
		"path-log-drive":             log(`C:\logs\on.csv`),
		"path-log-share":             log(`\\server\logs\on.csv`),
		"path-log-control-character": log("\"logs/o\x1bn.csv\""),
		"path-log-a-folder":          log("logs"),
		"path-log-other-case":        log("LOGS/On.csv"),
		"path-log-a-pipe":            bench(),
		"path-log-a-device":          bench(),
		"path-log-a-link-out":        bench(),
		"path-log-a-link-to-device":  bench(),
		"path-log-a-link-circle":     bench(),
		"path-log-a-link-to-nothing": bench(),
		"path-log-folder-link-out":   bench(),
		"path-log-unreadable":        bench(),
		"path-evidence-above":        evidence("../../etc/passwd"),
		"path-evidence-absolute":     evidence("/etc/passwd"),
		"path-evidence-a-folder":     evidence("spec"),
		"path-evidence-a-pipe":       evidence("captures/page.html").with("captures/page.html", "<p>52 dB(A)</p>\n"),
		"path-evidence-a-link-out":   evidence("captures/page.html").with("captures/page.html", "<p>52 dB(A)</p>\n"),
		"path-spec-both-forms":       spec().with("spec.xlsx", soundBook().pack()),
		"path-lab-both-forms":        bench().with("lab.xlsx", soundBook().pack()),
		"path-spec-twice":            {"spec.xlsx": soundBook().pack()},
		"path-spec-a-pipe":           {"spec.xlsx": soundBook().pack()},
		"path-spec-a-link-out":       {"spec.xlsx": soundBook().pack()},
		"path-spec-a-folder":         {"spec.xlsx/claims.csv": "attribute\nnoise\n"},
		"path-spec-unreadable":       {"spec.xlsx": soundBook().pack()},
		"path-spec-folder-link-out":  spec(),
		"path-spec-table-a-pipe":     spec(),
		"path-empty-case":            {"notes.txt": "nothing here yet\n"},
		"path-no-such-case":          {"notes.txt": "taken away before the test\n"},
		"path-case-is-a-file":        {"notes.txt": "put in the place of the case\n"},
		"path-log-two-meanings":      bench().edit("lab/decay.csv", "logs/on.csv", "run1").with("lab/run1.csv", curve(6)).with("run1", curve(6)),
	}
}
