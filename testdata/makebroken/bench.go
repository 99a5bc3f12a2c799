package main

import "strings"

// labTables are lab books with one wrong word, unit, number or range.
func labTables() map[string]files {
	lab := func(table, text string) files { return spec().with("lab/"+table+".csv", text) }
	change := func(table, old, fresh string) files { return bench().edit("lab/"+table+".csv", old, fresh) }
	return map[string]files{
		"lab-test-method-unknown":       lab("test", "field,value\nmethod,garage\n"),
		"lab-test-field-twice":          lab("test", "field,value\ntester,A bench\nTester,Another\n"),
		"lab-test-allowance-no-percent": bench().with("lab/test.csv", "field,value\nmethod allowance,3\n"),
		"lab-test-mixing-fan-unknown":   lab("test", "field,value\nmixing fan,sometimes\n"),
		"lab-test-runs-planned-words":   lab("test", "field,value\nruns planned,three\n"),
		"lab-decay-exclude-no-cause": bench().with("lab/decay.csv", "run,state,setting,particle,log,value,background,background ±,instrument,exclude,why\n"+
			"off,off,,smoke,logs/off.csv,pm1,2,0.5,PM,,\non,on,max,smoke,logs/on.csv,pm1,2,0.5,PM,yes,\n"),
		"lab-test-no-columns": lab("test", "tester\nA bench\n"),

		"lab-room-unit-unknown":      change("room", "height,2.51,m", "height,2.51,ells"),
		"lab-room-length-negative":   change("room", "length,5.01", "length,-5.01"),
		"lab-room-length-blank":      change("room", "length,5.01", "length,"),
		"lab-room-item-twice":        bench().with("lab/room.csv", room+"length,5.2,m,0.02\n"),
		"lab-room-no-height":         change("room", "height,2.51,m,0.02\n", ""),
		"lab-room-words":             change("room", "length,5.01", "length,five"),
		"lab-room-none":              dropped(bench(), "lab/room.csv"),
		"lab-room-uncertainty-below": change("room", "5.01,m,0.02", "5.01,m,-0.02"),
		"lab-room-ambiguous-number":  change("room", "length,5.01", "length,5.01.2"),

		"lab-instrument-twice":             change("instruments", "SLM,sound", "pm,sound"),
		"lab-instrument-accuracy-unread":   change("instruments", "10 %", "quite good"),
		"lab-instrument-accuracy-negative": change("instruments", "10 %", "-10 %"),
		"lab-instrument-not-in-table":      change("decay", "0.5,PM\non", "0.5,PM-9\non"),
		"lab-instrument-no-id-column":      change("instruments", "id,measures", "name,measures"),

		"lab-decay-state-unknown":          change("decay", "on,on,max", "on,running,max"),
		"lab-decay-state-blank":            change("decay", "on,on,max", "on,,max"),
		"lab-decay-particle-unknown":       change("decay", "max,smoke", "max,soot"),
		"lab-decay-log-blank":              change("decay", "logs/on.csv", ""),
		"lab-decay-value-blank":            change("decay", "logs/on.csv,pm1", "logs/on.csv,"),
		"lab-decay-no-log-column":          change("decay", "particle,log,value", "particle,file,value"),
		"lab-decay-background-words":       change("decay", "pm1,2,0.5,PM\non", "pm1,low,0.5,PM\non"),
		"lab-decay-uncertainty-alone":      change("decay", "pm1,2,0.5,PM\non", "pm1,,0.5,PM\non"),
		"lab-decay-uncertainty-negative":   change("decay", "pm1,2,0.5,PM\non", "pm1,2,-0.5,PM\non"),
		"lab-decay-coverage-factor-zero":   bench().with("lab/decay.csv", strings.NewReplacer("instrument", "k", ",PM", ",0").Replace(decay)),
		"lab-decay-from-unread":            from("after lunch", ""),
		"lab-decay-from-a-clock":           from("10:30", ""),
		"lab-decay-two-faults-in-two-rows": change("decay", "on,on,max", "on,maybe,max").edit("lab/decay.csv", "off,off,", "off,offf,"),

		"lab-decay-too-many-runs": bench().with("lab/decay.csv", "run,state,log,value\nROW\n"),
		"lab-sound-too-many-rows": lab("sound", "setting,level\nROW\n"),

		"lab-sound-level-and-log":     lab("sound", "setting,distance,level [dB(A)],log,value\nmax,1,54,logs/s.csv,v\n"),
		"lab-sound-neither":           lab("sound", "setting,distance,level [dB(A)]\nmax,1,\n"),
		"lab-sound-distance-zero":     lab("sound", "setting,distance,level [dB(A)]\nmax,0,54\n"),
		"lab-sound-distance-unit":     lab("sound", "setting,distance [W],level [dB(A)]\nmax,1,54\n"),
		"lab-sound-level-words":       lab("sound", "setting,distance,level [dB(A)]\nmax,1,loud\n"),
		"lab-sound-level-unit":        lab("sound", "setting,distance,level [W]\nmax,1,54\n"),
		"lab-sound-background-words":  lab("sound", "setting,distance,level [dB(A)],background\nmax,1,54,quiet\n"),
		"lab-power-negative":          lab("power", "setting,watts\nmax,-4\n"),
		"lab-power-neither":           lab("power", "setting,watts\nmax,\n"),
		"lab-power-log-of-volts":      lab("power", "setting,log,value\nmax,logs/p.csv,column 2\n").with("logs/p.csv", "time [s],Voltage (V) mean\n0,46\n1,47\n2,46\n"),
		"lab-power-log-two-plugs":     lab("power", "setting,log,value\nmax,logs/p.csv,watts\n").with("logs/p.csv", "plug,time [s],watts\nhall,0,80\nhall,1,80.1\nhall,2,80\nbench,0,36\nbench,1,36.1\nbench,2,36\n"),
		"lab-sound-log-c-weighted":    lab("sound", "setting,distance,log,value\nmax,1,logs/s.csv,LCeq\n").with("logs/s.csv", "time [s],LAeq [dB],LCeq [dB]\n0,46,58\n1,47,59\n2,46,58\n"),
		"lab-sound-log-millivolts":    lab("sound", "setting,distance,log,value\nmax,1,logs/s.csv,mic\n").with("logs/s.csv", "time [s],mic [mV]\n0,46\n1,47\n2,46\n"),
		"lab-power-log-no-unit-of-it": lab("power", "setting,log,value\nmax,logs/p.csv,v\n").with("logs/p.csv", "time [s],v (dB)\n0,46\n1,47\n2,46\n"),
		"lab-counts-not-whole":        lab("counts", "size [um],upstream,downstream\n0.3,8420.5,4\n"),
		"lab-counts-negative":         lab("counts", "size [um],upstream,downstream\n0.3,8420,-4\n"),
		"lab-counts-blank":            lab("counts", "size [um],upstream,downstream\n0.3,8420,\n"),
		"lab-counts-size-words":       lab("counts", "size [um],upstream,downstream\nsmall,8420,4\n"),
		"lab-counts-size-unit":        lab("counts", "size [W],upstream,downstream\n0.3,8420,4\n"),
		"lab-counts-no-downstream":    lab("counts", "size [um],upstream\n0.3,8420\n"),
		"lab-counts-volume-unit":      lab("counts", "size [um],upstream,downstream,upstream volume [dB],downstream volume [L]\n0.3,8420,4,2,2\n"),

		"lab-loading-neither":       lab("loading", "hours,delivery rate,unit\n0,,\n"),
		"lab-loading-both":          bench().with("lab/loading.csv", "hours,delivery rate,unit,run\n0,240,m3/h,on\n"),
		"lab-loading-run-unknown":   bench().with("lab/loading.csv", "hours,run\n480,late\n"),
		"lab-loading-hours-blank":   lab("loading", "hours,delivery rate,unit\n,240,m3/h\n"),
		"lab-loading-unit":          lab("loading", "hours,delivery rate,unit\n0,240,W\n"),
		"lab-weights-negative":      lab("weights", "item,grams,±\ncarbon,-3,1\n"),
		"lab-weights-uncertainty":   lab("weights", "item,grams,±\ncarbon,300,-1\n"),
		"lab-costs-negative":        lab("costs", "item,value,currency\nelectricity,-0.3,EUR\n"),
		"lab-costs-blank":           lab("costs", "item,value,currency\nelectricity,,EUR\n"),
		"lab-costs-too-many-hours":  lab("costs", "item,value\nhours per day,25\n"),
		"lab-costs-range-backwards": lab("costs", "item,value\nelectricity,0.5-0.2\n"),
		"lab-tolerance-of-nothing":  lab("tolerances", "attribute,tolerance,unit,source\nfilter grade,3,%,own\n"),
		"lab-tolerance-unit":        lab("tolerances", "attribute,tolerance,unit,source\nnoise,3,W,own\n"),
		"lab-tolerance-twice":       lab("tolerances", "attribute,tolerance,unit,source\nnoise,3,dB,own\nNoise,2,dB,own\n"),
		"lab-tolerance-negative":    lab("tolerances", "attribute,tolerance,unit,source\nnoise,-3,dB,own\n"),
		"lab-tolerance-no-unit":     lab("tolerances", "attribute,tolerance,unit,source\nnoise,3,,own\n"),
		"lab-faults-in-four-tables": bench().edit("lab/decay.csv", "on,on,max", "on,maybe,max").edit("lab/room.csv", "5.01", "-5.01").edit("lab/instruments.csv", "SLM,", "PM,").with("lab/power.csv", "setting,watts\nmax,-4\n"),
		"lab-fault-and-spec-fault":  bench().edit("lab/room.csv", "5.01", "-5.01").edit("spec/claims.csv", "C2,power", "C2,powr"),
		"lab-thirty-faults":         lab("power", "setting,watts\n"+strings.Repeat("max,lots\n", 30)),
	}
}

// from is bench with a start of the window for the run with the unit on.
func from(start, end string) files {
	return bench().with("lab/decay.csv", "run,state,setting,particle,log,value,from,to,instrument\noff,off,,smoke,logs/off.csv,pm1,,,PM\non,on,max,smoke,logs/on.csv,pm1,"+start+","+end+",PM\n")
}

// dropped is a copy of f without a file.
func dropped(f files, path string) files {
	out := f.with(path, "")
	delete(out, path)
	return out
}
