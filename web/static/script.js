// What the pages do beyond what they do without scripts: read out the pictures,
// and hand in files with their progress. Nothing here holds data of its own: a
// picture is read from its table.
"use strict";

// Read-outs.

// say writes one row of a table in one line: the day, then each cell with the
// words that belong before or after it.
function say(row) {
	const parts = [];
	for (const cell of row.cells) {
		const text = cell.textContent.trim();
		if (text === "") continue;
		if (cell.tagName === "TH") continue;
		if (cell.dataset.before) parts.push(cell.dataset.before + " " + text);
		else parts.push(cell.dataset.says ? text + " " + cell.dataset.says : text);
	}
	return row.cells[0].textContent.trim() + ": " + parts.join(" · ");
}

// readOut lets pointer, finger and arrow keys choose a column of a picture. The
// columns are the rows of the table, in a table of days from the last to the first.
// Pictures of one table share their cursor, and without one of their own the read-out.
function readOut(figure) {
	const scroll = figure.querySelector(".scroll");
	const cursor = figure.querySelector(".cursor");
	const cursors = document.querySelectorAll("[data-reads=" + figure.dataset.reads + "] .cursor");
	const out = figure.querySelector(".readout") || document.querySelector(".readout");
	const rows = document.querySelectorAll("#" + figure.dataset.reads + " tbody tr");
	const count = Number(figure.dataset.columns) || rows.length;
	const backwards = figure.dataset.reads === "days";
	const ahead = Number(figure.dataset.ahead) || 0; // columns of days to come
	const start = backwards ? count - 1 - ahead : 0; // where the first arrow key leads
	let at = -1;
	if (!rows.length) return;
	if (!out.textContent) out.textContent = "Touch a curve, or go over it with pointer or arrow keys: what was measured there is said here.";

	function show(column) {
		at = Math.max(0, Math.min(count - 1, column));
		const row = rows[backwards ? count - 1 - at : at];
		for (const c of cursors) {
			c.setAttribute("x", 10000 * at / count);
			c.setAttribute("width", 10000 / count);
		}
		out.textContent = row ? say(row) : "Before the first run.";
	}
	function under(event) {
		const box = figure.querySelector(".plot").getBoundingClientRect();
		show(Math.floor(count * (event.clientX - box.left) / box.width));
	}
	scroll.addEventListener("pointerdown", under);
	scroll.addEventListener("pointermove", (event) => {
		if (event.pointerType === "mouse") under(event);
	});
	scroll.addEventListener("keydown", (event) => {
		const to = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: count - 1 }[event.key];
		if (to === undefined) return;
		event.preventDefault();
		show(at < 0 && event.key.startsWith("Arrow") ? start : to);
		const box = cursor.getBoundingClientRect(), frame = scroll.getBoundingClientRect();
		if (box.left < frame.left || box.right > frame.right) scroll.scrollBy(box.left - frame.left - frame.width / 2, 0);
	});
}
document.querySelectorAll("[data-reads]").forEach(readOut);

// Lists.

// narrow hides the rows of a list that do not hold all the words that are typed, as the
// program does when the form is sent.
function narrow(box) {
	const plain = (text) => text.normalize("NFD").replace(/\p{Mn}/gu, "").toLowerCase();
	const rows = [...document.querySelectorAll("#" + box.dataset.narrows + " tbody tr")].map((row) => [row, plain(row.cells[0].textContent)]);
	const told = element("span", undefined, "soft");
	told.setAttribute("role", "status");
	box.form.append(told);
	box.addEventListener("input", () => {
		const words = plain(box.value).split(/\s+/);
		let left = 0;
		for (const [row, text] of rows) {
			row.hidden = !words.every((word) => text.includes(word));
			if (!row.hidden) left++;
		}
		told.textContent = box.value.trim() === "" ? "" : left + " of " + rows.length + " in this list";
	});
}
document.querySelectorAll("[data-narrows]").forEach(narrow);

// Handing in files.

const lines = "application/x-ndjson";
// One request at a time: the program works on all processors for each.
const batchFiles = 500, batchBytes = 64 << 20, atOnce = 1;

// filesOf lists what was dropped, folders included.
async function filesOf(transfer) {
	const entries = [...transfer.items].map((item) => item.webkitGetAsEntry && item.webkitGetAsEntry()).filter(Boolean);
	if (!entries.length) return [...transfer.files];
	const found = [];
	async function walk(entry) {
		if (entry.isFile) {
			found.push(await new Promise((done, failed) => entry.file(done, failed)));
			return;
		}
		const reader = entry.createReader();
		for (;;) {
			const some = await new Promise((done, failed) => reader.readEntries(done, failed));
			if (!some.length) return;
			for (const inner of some) await walk(inner);
		}
	}
	for (const entry of entries) await walk(entry);
	return found;
}

// batches parts files so that no request is large or waits long for its answer.
function batches(files) {
	const out = [];
	let batch = [], bytes = 0;
	for (const file of files) {
		if (batch.length === batchFiles || (batch.length && bytes + file.size > batchBytes)) {
			out.push(batch);
			batch = [];
			bytes = 0;
		}
		batch.push(file);
		bytes += file.size;
	}
	if (batch.length) out.push(batch);
	return out;
}

function element(name, text, className) {
	const e = document.createElement(name);
	if (text !== undefined) e.textContent = text;
	if (className) e.className = className;
	return e;
}

// hand makes an upload form hand in its files one batch after another.
function hand(form) {
	const place = document.querySelector("[data-results]");
	const tally = place.querySelector(".tally");
	const chooser = form.querySelector("input[type=file]");
	const counts = { added: 0, kept: 0, refused: 0, failed: 0 };
	const rows = [["path", "outcome", "day", "start", "kind", "distance_km", "reason", "notes"]];
	const mostShown = 200; // of those that need nothing done about them
	let waiting = [], running = 0, total = 0, shown = 0, unshown = 0, body;

	function table() {
		if (body) return body;
		place.querySelectorAll("table").forEach((old) => old.remove());
		const t = element("table", undefined, "results");
		const head = t.createTHead().insertRow();
		for (const text of ["file", "what became of it"]) {
			const th = element("th", text);
			th.scope = "col";
			head.append(th);
		}
		body = t.createTBody();
		place.append(t);
		return body;
	}
	function line(file) {
		const row = element("tr");
		const th = element("th", file.name);
		th.scope = "row";
		const bar = element("progress");
		bar.max = 1;
		bar.value = 0;
		bar.setAttribute("aria-label", "sent of " + file.name);
		const td = element("td");
		td.append(bar);
		row.append(th, td);
		return { row, bar, file };
	}
	function put(row, result) {
		const td = element("td");
		const word = result.outcome === "kept" ? "already kept" : result.outcome;
		td.append(element("strong", word));
		if (result.reason) td.append(": " + result.reason);
		(result.runs || []).forEach((run, i) => {
			const a = element("a", run.text);
			a.href = run.address;
			td.append(i ? "; " : ": ", a);
		});
		if (result.more) td.append("; and " + result.more + " more");
		row.cells[1].replaceWith(td);
		row.className = result.outcome;
		if (result.outcome === "refused") body.prepend(row); // first what there is to do
	}
	function told(l, result) {
		counts[result.outcome]++;
		rows.push(...result.rows);
		if (result.outcome !== "refused" && l.done && shown++ >= mostShown) {
			unshown++;
			return;
		}
		if (!l.done) {
			l.done = true;
			put(l.row, result);
			if (result.path !== l.file.name) l.row.cells[0].textContent = result.path;
			return;
		}
		const row = element("tr"); // a further recording of an archive
		const th = element("th", result.path);
		th.scope = "row";
		row.append(th, element("td"));
		l.row.after(row);
		put(row, result);
	}
	function count() {
		const read = counts.added + counts.kept + counts.refused + counts.failed;
		const known = waiting.length ? Math.max(total, read) : read;
		let text = read + " of " + known + " done: " + counts.added + " added, " + counts.kept + " already kept, " + counts.refused + " refused";
		if (counts.failed) text += ", " + counts.failed + " not sent";
		tally.textContent = text + ".";
	}
	// report hands out what became of every file as a table.
	function report() {
		const cell = (text) => /[",\r\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text;
		const table = rows.map((row) => row.map(cell).join(",") + "\n").join("");
		const more = place.querySelector(".more");
		let link = more.querySelector(".report");
		if (!link) {
			link = element("a", "The report as a table", "report");
			link.download = "tidemark-import.csv";
			more.append(" \u00b7 ", link);
		}
		if (link.href.startsWith("blob:")) URL.revokeObjectURL(link.href);
		link.href = URL.createObjectURL(new Blob([table], { type: "text/csv" }));
		let rest = place.querySelector(".unshown");
		if (!rest) {
			rest = element("p", undefined, "unshown");
			place.append(rest);
		}
		rest.textContent = unshown ? "\u2026 and " + unshown + " more that were added or kept already." : "";
	}
	function fault(batch, text) {
		for (const l of batch) {
			if (l.done) continue;
			counts.failed++;
			rows.push([l.file.name, "not sent", "", "", "", "", text, ""]);
			l.done = true;
			const td = element("td");
			td.append(element("strong", "not sent"), ": " + text);
			l.row.cells[1].replaceWith(td);
			l.row.className = "refused";
		}
	}
	function send(batch) {
		const data = new FormData();
		for (const l of batch) data.append("files", l.file, l.file.name);
		const request = new XMLHttpRequest();
		let seen = 0;
		request.upload.addEventListener("progress", (event) => {
			let sent = event.loaded;
			for (const l of batch) {
				const part = l.file.size ? Math.max(0, Math.min(1, sent / l.file.size)) : 1;
				if (l.bar.value !== part) l.bar.value = part;
				sent -= l.file.size;
			}
		});
		function hear() {
			const end = request.responseText.lastIndexOf("\n") + 1;
			for (const text of request.responseText.slice(seen, end).split("\n")) {
				if (text === "") continue;
				const result = JSON.parse(text);
				if (result.error) fault(batch, result.error);
				else if (result.path === undefined) total += result.more;
				else told(batch[result.file], result);
			}
			seen = end;
			count();
		}
		request.addEventListener("progress", hear);
		request.addEventListener("loadend", () => {
			try {
				hear();
			} catch {
				// What cannot be read is told as not sent.
			}
			fault(batch, request.status ? "no word came of it" : "the program did not answer");
			waiting = waiting.filter((b) => b !== batch);
			running--;
			count();
			next();
		});
		request.open("POST", form.action);
		request.setRequestHeader("Accept", lines);
		request.send(data);
	}
	function next() {
		for (const batch of waiting) {
			if (running === atOnce) return;
			if (batch.sent) continue;
			batch.sent = true;
			running++;
			send(batch);
		}
		if (!running) {
			report();
			place.dataset.results = "done";
			place.querySelector(".more").hidden = false;
		}
	}
	function add(files) {
		if (!files.length) return;
		place.dataset.results = "sending";
		const fresh = batches(files).map((batch) => batch.map(line));
		const rows = document.createDocumentFragment();
		for (const batch of fresh) for (const l of batch) rows.append(l.row);
		table().append(rows);
		total += files.length;
		waiting.push(...fresh);
		count();
		next();
	}

	form.querySelector(".hint").hidden = false;
	form.addEventListener("submit", (event) => {
		if (!chooser.files.length) return;
		event.preventDefault();
		add([...chooser.files]);
		form.reset();
	});
	for (const name of ["dragenter", "dragover"]) form.addEventListener(name, (event) => {
		event.preventDefault();
		form.classList.add("over");
	});
	for (const name of ["dragleave", "drop"]) form.addEventListener(name, () => form.classList.remove("over"));
	form.addEventListener("drop", async (event) => {
		event.preventDefault();
		try {
			add(await filesOf(event.dataTransfer));
		} catch (problem) {
			tally.textContent = "What was dropped cannot be read: " + problem.message;
		}
	});
}
document.querySelectorAll("[data-upload]").forEach(hand);

// A page that prints as it is offers to.
document.querySelectorAll("[data-print]").forEach((button) => {
	button.hidden = false;
	button.addEventListener("click", () => print());
});

// Setting up.

// places shows the programmes of the chosen place alone, with the usual one chosen.
function places(part) {
	const site = document.querySelector("[data-site]");
	const none = part.querySelector("input[value='']");
	function show() {
		let chosen = none.checked, first = none;
		for (const place of part.querySelectorAll("[data-place]")) {
			place.hidden = place.dataset.place !== site.value;
			if (place.hidden) continue;
			first = place.querySelector("input") || none;
			chosen = chosen || Boolean(place.querySelector("input:checked"));
		}
		return chosen ? null : first;
	}
	site.addEventListener("change", () => {
		none.checked = false;
		const first = show();
		if (first) first.checked = true;
	});
	const first = show();
	if (first) first.checked = true;
}
document.querySelectorAll("[data-places]").forEach(places);
