// A file system in memory, in the form in which Go's runtime asks a host for one. Paths are absolute or from "/".
"use strict";
function memoryFiles(onOutput) {
	const fail = (code, text) => Object.assign(new Error(text || code), { code });
	let ino = 1;
	const folder = () => ({ ino: ino++, kids: new Map(), mode: 0o40755, time: 0 });
	const plain = (data) => ({ ino: ino++, data, size: data.length, mode: 0o100644, time: 0 });
	const root = folder();
	const parts = (path) => {
		const out = [];
		for (const p of String(path).split("/")) {
			if (p === "" || p === ".") continue;
			if (p === "..") out.pop();
			else out.push(p);
		}
		return out;
	};
	const find = (path) => {
		let at = root;
		for (const p of parts(path)) {
			if (!at.kids) throw fail("ENOTDIR");
			at = at.kids.get(p);
			if (!at) throw fail("ENOENT");
		}
		return at;
	};
	const parent = (path) => {
		const ps = parts(path);
		if (ps.length === 0) throw fail("EINVAL");
		const name = ps.pop();
		const dir = find(ps.join("/"));
		if (!dir.kids) throw fail("ENOTDIR");
		return { dir, name };
	};
	const grow = (node, size) => {
		if (size > node.data.length) {
			const more = new Uint8Array(Math.max(size, 2 * node.data.length, 4096));
			more.set(node.data.subarray(0, node.size));
			node.data = more;
		}
	};
	const stat = (node) => ({
		dev: 1, ino: node.ino, mode: node.mode, nlink: 1, uid: 0, gid: 0, rdev: 0, size: node.kids ? 0 : node.size, blksize: 4096,
		blocks: node.kids ? 0 : Math.ceil(node.size / 512), atimeMs: node.time, mtimeMs: node.time, ctimeMs: node.time,
		isDirectory: () => !!node.kids,
	});
	const open = new Map();
	let next = 3;
	const file = (fd) => {
		const f = open.get(fd);
		if (!f) throw fail("EBADF");
		return f;
	};
	// wrap turns a plain function into one that calls back, as the runtime expects.
	const wrap = (f) => (...args) => {
		const done = args.pop();
		let value;
		try {
			value = f(...args);
		} catch (e) {
			done(e);
			return;
		}
		done(null, value);
	};
	const O = { O_WRONLY: 1, O_RDWR: 2, O_CREAT: 64, O_EXCL: 128, O_TRUNC: 512, O_APPEND: 1024, O_DIRECTORY: 65536 };
	const write = (fd, buf, offset, length, position) => {
		const bytes = buf.subarray(offset, offset + length);
		if (fd === 1 || fd === 2) {
			onOutput(fd, bytes);
			return length;
		}
		const f = file(fd);
		const at = f.append ? f.node.size : position === null ? f.at : position;
		grow(f.node, at + length);
		f.node.data.set(bytes, at);
		f.node.size = Math.max(f.node.size, at + length);
		if (position === null) f.at = at + length;
		return length;
	};
	const remove = (isFolder) => (path) => {
		const { dir, name } = parent(path);
		const node = dir.kids.get(name);
		if (!node) throw fail("ENOENT");
		if (!!node.kids !== isFolder) throw fail(isFolder ? "ENOTDIR" : "EISDIR");
		if (isFolder && node.kids.size > 0) throw fail("ENOTEMPTY");
		dir.kids.delete(name);
	};
	const nothing = () => {};
	const never = () => { throw fail("ENOSYS"); };
	const truncate = (node, size) => {
		grow(node, size);
		node.data.fill(0, node.size, Math.max(size, node.size));
		node.size = size;
	};
	const fs = {
		constants: O,
		writeSync: (fd, buf) => write(fd, buf, 0, buf.length, null),
		write: wrap(write),
		read: wrap((fd, buf, offset, length, position) => {
			if (fd === 0) return 0;
			const f = file(fd);
			if (f.node.kids) throw fail("EISDIR");
			const at = position === null ? f.at : position;
			const n = Math.max(0, Math.min(length, f.node.size - at));
			buf.set(f.node.data.subarray(at, at + n), offset);
			if (position === null) f.at = at + n;
			return n;
		}),
		open: wrap((path, flags, mode) => {
			let node;
			const { dir, name } = parts(path).length ? parent(path) : { dir: null, name: "" };
			node = dir ? dir.kids.get(name) : root;
			if (node && flags & O.O_CREAT && flags & O.O_EXCL) throw fail("EEXIST");
			if (!node) {
				if (!(flags & O.O_CREAT)) throw fail("ENOENT");
				node = plain(new Uint8Array(0));
				node.mode = 0o100000 | (mode & 0o777);
				dir.kids.set(name, node);
			}
			if (node.kids && flags & (O.O_WRONLY | O.O_RDWR)) throw fail("EISDIR");
			if (!node.kids && flags & O.O_DIRECTORY) throw fail("ENOTDIR");
			if (!node.kids && flags & O.O_TRUNC) truncate(node, 0);
			open.set(next, { node, at: 0, append: !!(flags & O.O_APPEND) });
			return next++;
		}),
		close: wrap((fd) => { file(fd); open.delete(fd); }),
		fstat: wrap((fd) => {
			if (fd < 3) return { ...stat(plain(new Uint8Array(0))), mode: 0o20666, isDirectory: () => false };
			return stat(file(fd).node);
		}),
		stat: wrap((path) => stat(find(path))),
		lstat: wrap((path) => stat(find(path))),
		readdir: wrap((path) => {
			const node = find(path);
			if (!node.kids) throw fail("ENOTDIR");
			return [...node.kids.keys()];
		}),
		mkdir: wrap((path, mode) => {
			const { dir, name } = parent(path);
			if (dir.kids.has(name)) throw fail("EEXIST");
			const node = folder();
			node.mode = 0o40000 | (mode & 0o777);
			dir.kids.set(name, node);
		}),
		rename: wrap((from, to) => {
			const a = parent(from), b = parent(to);
			const node = a.dir.kids.get(a.name), there = b.dir.kids.get(b.name);
			if (!node) throw fail("ENOENT");
			if (there && there.kids && !node.kids) throw fail("EISDIR");
			if (there && there.kids && there.kids.size > 0) throw fail("ENOTEMPTY");
			a.dir.kids.delete(a.name);
			b.dir.kids.set(b.name, node);
		}),
		link: wrap((from, to) => {
			const node = find(from), { dir, name } = parent(to);
			if (dir.kids.has(name)) throw fail("EEXIST");
			dir.kids.set(name, node);
		}),
		unlink: wrap(remove(false)), rmdir: wrap(remove(true)),
		chmod: wrap((path, mode) => { const n = find(path); n.mode = n.mode & 0o170000 | mode & 0o777; }),
		fchmod: wrap((fd, mode) => { const n = file(fd).node; n.mode = n.mode & 0o170000 | mode & 0o777; }),
		truncate: wrap((path, size) => truncate(find(path), size)), ftruncate: wrap((fd, size) => truncate(file(fd).node, size)),
		utimes: wrap((path, a, m) => { find(path).time = 1000 * m; }),
		chown: wrap(nothing), fchown: wrap(nothing), lchown: wrap(nothing), fsync: wrap(nothing),
		readlink: wrap(() => { throw fail("EINVAL"); }), symlink: wrap(never),
	};
	const put = (path, data) => {
		const ps = parts(path), name = ps.pop();
		if (name === undefined) throw fail("EINVAL", "a file needs a name");
		let at = root;
		for (const p of ps) {
			if (!at.kids.has(p)) at.kids.set(p, folder());
			at = at.kids.get(p);
			if (!at.kids) throw fail("ENOTDIR", path);
		}
		at.kids.set(name, plain(data));
	};
	const all = () => {
		const out = {};
		const walk = (node, path) => {
			for (const [name, kid] of node.kids) {
				if (kid.kids) walk(kid, path + name + "/");
				else out[path + name] = kid.data.slice(0, kid.size);
			}
		};
		walk(root, "");
		return out;
	};
	fs.mkdir("/tmp", 0o777, () => {});
	return { fs, put, all };
}
