// One run of the program: files and arguments in, exit status, output and files out.
"use strict";
self.onmessage = async (event) => {
	const { kind, module, args, files, packed } = event.data;
	if (kind === "unpack") {
		try {
			self.postMessage({ kind: "module", module: await WebAssembly.compile(unpack(packed)) });
		} catch (e) {
			self.postMessage({ kind: "broken", text: String(e) });
		}
		return;
	}
	const said = { 1: [], 2: [] };
	const disk = memoryFiles((fd, bytes) => {
		said[fd].push(bytes.slice());
		self.postMessage({ kind: "said", fd, bytes: bytes.slice() });
	});
	const before = new Map();
	try {
		for (const [path, data] of Object.entries(files)) {
			disk.put(path, data);
			before.set(path.replace(/^\/+/, ""), data);
		}
		self.fs = disk.fs;
		self.process = {
			getuid: () => -1, getgid: () => -1, geteuid: () => -1, getegid: () => -1, getgroups() { return []; },
			pid: 1, ppid: 1, umask: () => 0o22, cwd: () => "/", chdir() {},
		};
		self.path = { resolve: (...ps) => ps.reduce((at, p) => p.startsWith("/") ? p : at + "/" + p, "/") };
		const go = new Go();
		go.argv = ["weighhouse", ...args];
		go.env = { NO_COLOR: "1", TMPDIR: "/tmp", HOME: "/" };
		let code = 0;
		go.exit = (c) => { code = c; };
		await go.run(await WebAssembly.instantiate(module, go.importObject));
		const after = {};
		for (const [path, data] of Object.entries(disk.all())) {
			const old = before.get(path);
			if (!old || old.length !== data.length || old.some((b, i) => b !== data[i])) after[path] = data;
		}
		self.postMessage({ kind: "done", code, stdout: text(said[1]), stderr: text(said[2]), files: after });
	} catch (e) {
		self.postMessage({ kind: "done", code: 1, stdout: text(said[1]), stderr: text(said[2]) + String(e) + "\n", files: {} });
	}
};

function text(chunks) {
	const d = new TextDecoder();
	return chunks.map((c) => d.decode(c, { stream: true })).join("") + d.decode();
}

// unpack reads the program from its packed form, 20 bits in three characters of an alphabet of 102, and expands it.
function unpack(packed) {
	let alphabet = "\t\x0e\x0f\x10\x11\x12\x13\x14";
	for (let c = 32; c < 127; c++) if (c !== 60) alphabet += String.fromCharCode(c);
	const value = new Uint8Array(128);
	for (let i = 0; i < alphabet.length; i++) value[alphabet.charCodeAt(i)] = i;
	const [size, body] = [parseInt(packed, 10), packed.indexOf(":") + 1];
	const out = new Uint8Array(size);
	let bits = 0, held = 0, at = 0;
	for (let i = body; i + 2 < packed.length; i += 3) {
		held |= (value[packed.charCodeAt(i)] * 10404 + value[packed.charCodeAt(i + 1)] * 102 + value[packed.charCodeAt(i + 2)]) << bits;
		bits += 20;
		for (; bits >= 8 && at < size; bits -= 8) {
			out[at++] = held & 255;
			held >>>= 8;
		}
		if ((i - body) % 1500000 === 0) self.postMessage({ kind: "progress", part: 0.6 * (i / packed.length) });
	}
	self.postMessage({ kind: "progress", part: 0.6 });
	const program = fzstd.decompress(out);
	self.postMessage({ kind: "progress", part: 0.85 });
	return program;
}
