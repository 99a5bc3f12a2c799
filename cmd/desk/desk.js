// The desk's own code: files in, the program's outputs out. It reads, judges and writes nothing itself.
"use strict";
const desk = (() => {
	const T = texts;
	const $ = (id) => document.getElementById(id);
	for (const e of document.querySelectorAll("[data-t]")) e.textContent = T[e.dataset.t];
	document.title = T.title;
	const source = URL.createObjectURL(new Blob([$("worker").textContent], { type: "text/javascript" }));
	let ready, isReady, isBroken;
	ready = new Promise((yes, no) => { isReady = yes; isBroken = no; });
	ready.catch(() => {});

	// unpack starts a worker that turns the packed program into a module, once.
	function unpack() {
		$("load-text").textContent = T.loading;
		const w = new Worker(source);
		w.onmessage = ({ data }) => {
			if (data.kind === "progress") $("bar").value = data.part;
			if (data.kind === "module") {
				$("bar").hidden = true;
				$("load-text").textContent = T.ready;
				isReady(data.module);
				w.terminate();
			}
			if (data.kind === "broken") {
				$("load-text").textContent = T.broken + data.text;
				isBroken(new Error(data.text));
			}
		};
		w.onerror = (e) => isBroken(new Error(e.message));
		w.postMessage({ kind: "unpack", packed: $("program").textContent });
		$("program").remove();
	}

	// run runs one command in a worker of its own, whose memory goes with it. stop, where given, receives what ends it.
	async function run(args, files, { said, stop } = {}) {
		const module = await ready;
		const w = new Worker(source);
		try {
			return await new Promise((yes, no) => {
				if (stop) stop(() => no(new Error(T.stopped)));
				w.onmessage = ({ data }) => {
					if (data.kind === "said" && said) said(data);
					if (data.kind === "done") yes({ code: data.code, stdout: data.stdout, stderr: data.stderr, files: data.files });
				};
				w.onerror = (e) => no(new Error(e.message));
				w.postMessage({ kind: "run", module, args, files });
			});
		} finally {
			w.terminate();
		}
	}

	// The command for scripts that embed the page.
	window.weighhouse = (args, files) => run(args, files || {});

	const today = () => new Date().toISOString().slice(0, 10);
	const bytes = (s) => new TextEncoder().encode(s);
	let links = [];

	// show runs a command and shows what it gave: its words, its page, its files.
	async function show(args, files, view, questions) {
		const box = $("result");
		box.hidden = false;
		$("state").textContent = T.working;
		$("terminal").textContent = "";
		$("outputs").replaceChildren();
		$("view").hidden = true;
		$("copy").hidden = true;
		for (const l of links) URL.revokeObjectURL(l);
		links = [];
		box.focus();
		box.scrollIntoView();
		$("stop").hidden = false;
		let got;
		try {
			const d = { 1: new TextDecoder(), 2: new TextDecoder() };
			got = await run(args, files, {
				said: ({ fd, bytes }) => { $("terminal").textContent += d[fd].decode(bytes, { stream: true }); },
				stop: (end) => { $("stop").onclick = end; },
			});
		} catch (e) {
			$("state").textContent = e.message;
			return null;
		} finally {
			$("stop").hidden = true;
		}
		$("state").textContent = { 0: T.done, 3: T.found }[got.code] || T.failed;
		const names = Object.keys(got.files).sort();
		for (const n of names) offer(n, got.files[n]);
		if (names.length > 1) offer("weighhouse.zip", zip(got.files), T.save_all);
		const page = view && names.find((n) => n.endsWith(view));
		if (page) {
			$("view").title = page;
			$("view").srcdoc = new TextDecoder().decode(got.files[page]);
			$("view").hidden = false;
		}
		if (questions) questions(got);
		return got;
	}

	function offer(name, data, label) {
		const a = document.createElement("a"), li = document.createElement("li");
		a.href = URL.createObjectURL(new Blob([data]));
		links.push(a.href);
		a.download = name.split("/").pop();
		a.textContent = label || name;
		li.append(a);
		$("outputs").append(li);
	}

	// A shelf holds the files of a door, by path; a zip is opened, a single common folder is taken off.
	function shelf(list, doorway) {
		const files = new Map();
		const draw = () => {
			list.replaceChildren(...[...files.keys()].sort().map((p) => {
				const li = document.createElement("li");
				li.textContent = p;
				return li;
			}));
			if (files.onchange) files.onchange();
		};
		const add = async (path, file) => {
			const data = new Uint8Array(await file.arrayBuffer());
			if (/\.zip$/i.test(path)) for (const [p, d] of Object.entries(await unzip(data))) files.set(p, d);
			else files.set(path, data);
		};
		const take = async (entries) => {
			for (const [path, file] of entries) await add(path, file);
			trim(files);
			draw();
		};
		doorway.addEventListener("dragover", (e) => { e.preventDefault(); doorway.classList.add("over"); });
		doorway.addEventListener("dragleave", () => doorway.classList.remove("over"));
		doorway.addEventListener("drop", async (e) => {
			e.preventDefault();
			doorway.classList.remove("over");
			const roots = [...e.dataTransfer.items].map((i) => i.webkitGetAsEntry && i.webkitGetAsEntry()).filter(Boolean);
			const found = [];
			for (const r of roots) await walk(r, "", found);
			await take(found.length ? found : [...e.dataTransfer.files].map((f) => [f.name, f]));
		});
		const input = (el) => el.addEventListener("change", async () => {
			await take([...el.files].map((f) => [f.webkitRelativePath || f.name, f]));
			el.value = "";
		});
		return { files, input, clear: () => { files.clear(); draw(); }, set: (all) => { files.clear(); for (const [p, d] of Object.entries(all)) files.set(p, d); draw(); } };
	}

	async function walk(entry, at, out) {
		if (entry.isFile) out.push([at + entry.name, await new Promise((y, n) => entry.file(y, n))]);
		if (!entry.isDirectory) return;
		const reader = entry.createReader();
		for (;;) {
			const some = await new Promise((y, n) => reader.readEntries(y, n));
			if (!some.length) return;
			for (const s of some) await walk(s, at + entry.name + "/", out);
		}
	}

	// trim takes off a folder that all files share where it holds the books.
	function trim(files) {
		const paths = [...files.keys()];
		const head = paths[0] && paths[0].includes("/") ? paths[0].slice(0, paths[0].indexOf("/") + 1) : "";
		if (!head || !paths.every((p) => p.startsWith(head)) || /^(spec|lab|logs)\/$/i.test(head)) return;
		if (!paths.some((p) => /^(spec|lab)(\.xlsx$|\/)/i.test(p.slice(head.length)))) return;
		for (const p of paths) {
			const d = files.get(p);
			files.delete(p);
			files.set(p.slice(head.length), d);
		}
	}

	const under = (folder, files) => Object.fromEntries([...files].map(([p, d]) => [folder + "/" + p, d]));

	// unzip reads a zip's files: stored or deflated, at most 200 MB in all.
	async function unzip(data) {
		const v = new DataView(data.buffer, data.byteOffset, data.byteLength), out = {};
		let end = data.length - 22, total = 0;
		while (end >= 0 && v.getUint32(end, true) !== 0x06054b50) end--;
		if (end < 0) throw new Error("this is no zip");
		let at = v.getUint32(end + 16, true);
		for (let n = v.getUint16(end + 10, true); n > 0; n--) {
			const [method, packed, size, nameLength, extra, comment, local] = [v.getUint16(at + 10, true), v.getUint32(at + 20, true), v.getUint32(at + 24, true), v.getUint16(at + 28, true), v.getUint16(at + 30, true), v.getUint16(at + 32, true), v.getUint32(at + 42, true)];
			const name = new TextDecoder().decode(data.subarray(at + 46, at + 46 + nameLength));
			at += 46 + nameLength + extra + comment;
			if (name.endsWith("/") || name.split("/").includes("..")) continue;
			if ((total += size) > 200e6) throw new Error("zip: more than 200 MB");
			const start = local + 30 + v.getUint16(local + 26, true) + v.getUint16(local + 28, true);
			const body = data.subarray(start, start + packed);
			out[name] = method === 0 ? body.slice() : new Uint8Array(await new Response(new Blob([body]).stream().pipeThrough(new DecompressionStream("deflate-raw"))).arrayBuffer());
		}
		return out;
	}

	const crcs = Array.from({ length: 256 }, (_, n) => { for (let k = 0; k < 8; k++) n = n & 1 ? n >>> 1 ^ 0xedb88320 : n >>> 1; return n >>> 0; });
	const crc32 = (d) => { let c = 0xffffffff; for (const b of d) c = crcs[(c ^ b) & 255] ^ c >>> 8; return (c ^ 0xffffffff) >>> 0; };

	// zip stores files in a zip.
	function zip(files) {
		const parts = [], central = [];
		let at = 0;
		for (const [name, data] of Object.entries(files)) {
			const n = bytes(name), head = new DataView(new ArrayBuffer(46));
			const common = (v, o) => {
				v.setUint16(o, 20, true); v.setUint16(o + 2, 0x800, true); v.setUint16(o + 6, 0, true); v.setUint16(o + 8, 0x21, true);
				v.setUint32(o + 10, crc32(data), true); v.setUint32(o + 14, data.length, true); v.setUint32(o + 18, data.length, true); v.setUint16(o + 22, n.length, true);
			};
			const local = new DataView(new ArrayBuffer(30));
			local.setUint32(0, 0x04034b50, true);
			common(local, 4);
			head.setUint32(0, 0x02014b50, true);
			head.setUint16(4, 20, true);
			common(head, 6);
			head.setUint32(42, at, true);
			parts.push(new Uint8Array(local.buffer), n, data);
			central.push(new Uint8Array(head.buffer), n);
			at += 30 + n.length + data.length;
		}
		const size = central.reduce((s, c) => s + c.length, 0), end = new DataView(new ArrayBuffer(22)), count = Object.keys(files).length;
		end.setUint32(0, 0x06054b50, true);
		end.setUint16(8, count, true);
		end.setUint16(10, count, true);
		end.setUint32(12, size, true);
		end.setUint32(16, at, true);
		const all = [...parts, ...central, new Uint8Array(end.buffer)], out = new Uint8Array(at + size + 22);
		let k = 0;
		for (const p of all) { out.set(p, k); k += p.length; }
		return out;
	}

	const demo = () => unzip(Uint8Array.from(atob($("demo").textContent), (c) => c.charCodeAt(0)));

	// door 1: a listing
	const vet = (files) => show(["vet", Object.keys(files)[0], "--format", "html,json,pdf", "--out", "out", "--date", today()], { ...files, "out/.keep": new Uint8Array(0) }, ".html", (got) => {
		const name = Object.keys(got.files).find((n) => n.endsWith(".json"));
		const asks = name ? JSON.parse(new TextDecoder().decode(got.files[name])).questions || [] : [];
		$("copy").hidden = asks.length === 0;
		$("copy").onclick = async () => {
			await navigator.clipboard.writeText(asks.map((q, i) => `${i + 1}. ${q.text || q.ask || q}`).join("\n"));
			$("state").textContent = T.copied;
		};
	});
	$("do-vet").onclick = async () => {
		const f = $("page").files[0], words = $("words").value;
		if (!f && !words.trim()) { $("load-text").textContent = T.nothing; return; }
		vet(f ? { ["listing" + (f.name.match(/\.\w+$/) || [".txt"])[0].toLowerCase()]: new Uint8Array(await f.arrayBuffer()) } : { "listing.txt": bytes(words) });
	};
	$("demo-vet").onclick = async () => {
		const all = await demo(), name = Object.keys(all).filter((n) => /captures\/.*\.html?$/i.test(n)).sort()[0];
		vet({ "listing.html": all[name] });
	};

	// door 2: a case
	const bench = shelf($("case-list"), $("bench"));
	bench.input($("case-files"));
	bench.input($("case-folder"));
	bench.files.onchange = () => {
		const logs = [...bench.files.keys()].filter((p) => /\.(csv|txt|tsv)$/i.test(p) && !/^(spec|lab)\//i.test(p));
		$("log").replaceChildren(...logs.map((p) => new Option(p, p)));
		$("look").hidden = logs.length === 0;
	};
	$("clear-case").onclick = bench.clear;
	$("do-audit").onclick = () => bench.files.size ? show(["audit", "case", "--format", "pdf,json,html,xlsx", "--date", today()], under("case", bench.files), "audit.html") : ($("load-text").textContent = T.nothing);
	$("demo-audit").onclick = async () => { bench.set(await demo()); $("do-audit").click(); };
	$("do-forms").onclick = () => show(["new", "case"], {});
	$("do-decay").onclick = () => {
		const given = [["--time", "time"], ["--value", "value"], ["--from", "from"], ["--to", "to"]].flatMap(([flag, id]) => $(id).value.trim() ? [flag, $(id).value.trim()] : []);
		show(["decay", "case/" + $("log").value, "--volume", $("volume").value, "--plot", "always", ...given], under("case", bench.files));
	};

	// door 3: audits
	const audits = shelf($("audit-list"), $("audits"));
	audits.input($("audit-files"));
	audits.input($("audit-folder"));
	$("clear-audits").onclick = audits.clear;
	const reports = () => [...audits.files.keys()].filter((p) => /\.json$/i.test(p));
	$("do-verify").onclick = () => audits.files.size ? show(["verify", "case"], under("case", audits.files)) : ($("load-text").textContent = T.nothing);
	$("do-rank").onclick = () => show(["rank", ...reports().map((p) => "cases/" + p), "--format", "html,pdf,csv,json", "--out", "out", "--date", today()], { ...under("cases", audits.files), "out/.keep": new Uint8Array(0) }, ".html");
	$("do-index").onclick = () => show(["index", "cases", "--out", "out"], { ...under("cases", audits.files), "out/.keep": new Uint8Array(0) }, ".html");

	return { unpack };
})();
