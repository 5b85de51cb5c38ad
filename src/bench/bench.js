// Keeps entries on this device until the shop's computer has written them. Pages work without it.
"use strict";
(() => {
  const PAGE = "/entry", ANSWERS = ["/entry", "/answer", "/undo", "/round/answer"];
  let store = null, sending = false, again = null, wait = 5000;

  const words = (text, tag = "p") => Object.assign(document.createElement(tag), { textContent: text });
  const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(13)), (n) => "abcdefghjklmnpqrstuvwxyz23456789"[n % 32]).join("");

  // One database for this address; entries are numbered in the order in which they were made.
  const open = () => store ??= new Promise((done, fail) => {
    const request = indexedDB.open("bench", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });

  // Only "complete" means that it is on the disk of this device; "success" comes too early.
  const change = async (work) => {
    const database = await open();
    return new Promise((done, fail) => {
      const transaction = database.transaction("entries", "readwrite", { durability: "strict" });
      work(transaction.objectStore("entries"));
      transaction.oncomplete = done;
      transaction.onerror = transaction.onabort = () => fail(transaction.error);
    });
  };
  const entries = async () => {
    const database = await open();
    return new Promise((done, fail) => {
      const request = database.transaction("entries").objectStore("entries").getAll();
      request.onsuccess = () => done(request.result);
      request.onerror = () => fail(request.error);
    });
  };

  const ask = async (address, options, milliseconds) => {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), milliseconds);
    try {
      return await fetch(address, { ...options, signal: stop.signal, credentials: "same-origin", cache: "no-store" });
    } finally {
      clearTimeout(timer);
    }
  };

  const say = (text) => document.getElementById("waiting")?.replaceChildren(text);

  const named = (fields) => fields.filter(([name, text]) => text && !["id", "back", "anyway"].includes(name)).map(([, text]) => text.name ?? text).join(" ");
  const since = (entry) => {
    const minutes = Math.max(0, Math.floor((Date.now() - entry.typed) / 60000));
    return minutes < 60 ? `${minutes} min ago` : `${Math.floor(minutes / 60)} h ago`;
  };

  // What waits, and what was refused: both stay in sight until a person settles them.
  const show = async () => {
    const list = await entries().catch(() => []);
    const refused = list.filter((entry) => entry.why);
    const waiting = list.length - refused.length;
    const parts = [];
    if (waiting) parts.push(`${waiting} ${waiting === 1 ? "entry waits" : "entries wait"} on this device (oldest ${since(list.find((e) => !e.why))}).`);
    if (refused.length) parts.push(`${refused.length} ${refused.length === 1 ? "entry was" : "entries were"} refused. See the page Log.`);
    say(parts.join(" "));
    const queue = document.getElementById("queue");
    if (!queue) return;
    queue.hidden = list.length === 0;
    const items = document.createElement("ul");
    for (const entry of list) {
      const item = words(`${named(entry.fields)} (${since(entry)})`, "li");
      item.dataset.id = entry.id;
      if (entry.why) item.append(words(entry.why, "p"));
      if (entry.why && entry.against) item.append(button("It has happened: log it", () => retry(entry, [["anyway", "yes"]])));
      if (entry.why && !entry.against) item.append(button("Send again", () => retry(entry, [])));
      if (entry.why) item.append(button("Delete from this device", () => drop(entry)));
      items.append(item);
    }
    queue.replaceChildren(words("Waiting on this device", "h2"), items);
  };
  const button = (text, work) => {
    const made = Object.assign(words(text, "button"), { type: "button", className: "quiet" });
    made.addEventListener("click", work);
    return made;
  };
  const retry = ({ why, against, ...kept }, more) => change((all) => all.put({ ...kept, fields: [...kept.fields.filter(([name]) => name !== "anyway"), ...more] })).then(send);
  const drop = (entry) => change((all) => all.delete(entry.order)).then(show);

  // In order, one at a time. An entry goes only when the answer names its id.
  const send = async () => {
    if (sending) { again = true; return null; }
    sending = true;
    let last = null, failed = false;
    try {
      for (const entry of (await entries()).filter((entry) => !entry.why)) {
        const file = entry.fields.some(([, value]) => value instanceof Blob), body = file ? new FormData() : new URLSearchParams();
        for (const [name, value] of [...entry.fields, ["typed", entry.typed], ["sent", Date.now()]]) body.append(name, value);
        const answer = await ask(entry.path, { method: "POST", body, headers: { Accept: "text/plain" } }, file ? 90000 : 20000);
        const [state, id, place, ...rest] = (await answer.text()).split("\n");
        if ((state === "written" || state === "already") && id === entry.id) {
          await change((all) => all.delete(entry.order));
          last = { id, place };
        } else if (state === "refused" || state === "against") {
          await change((all) => all.put({ ...entry, why: rest.join(" "), against: state === "against" }));
        } else {
          failed = true;
          break;
        }
      }
    } catch {
      failed = true;
    } finally {
      sending = false;
    }
    if (failed) setTimeout(send, wait);
    wait = failed ? Math.min(wait * 2, 60000) : 5000;
    await show();
    if (again) { again = null; return send(); }
    return last;
  };

  const keep = async (path, fields) => {
    const id = fields.find(([name]) => name === "id")?.[1] || newId();
    const all = [["id", id], ...fields.filter(([name]) => name !== "id")];
    await change((entries) => entries.add({ id, path, fields: all, typed: Date.now() }));
    return id;
  };

  // A form that writes: kept here first, then sent, then on to where the server says.
  const write = async (form, fields) => {
    const id = await keep(form.getAttribute("action"), fields);
    say("Kept on this device.");
    const last = await send();
    if (last && last.id === id) { location.assign(last.place); return; }
    await show();
    const left = (await entries()).find((entry) => entry.id === id);
    const told = left ? (left.why ?? "Kept on this device. It is sent when the shop's computer answers.") : "Logged.";
    form.replaceChildren(words(told));
    form.firstChild.setAttribute("role", "status");
    const button = Object.assign(document.createElement("a"), { href: left?.why ? "/work" : "/", textContent: left?.why ? "See the page Log" : "Go on", className: "act quiet" });
    form.append(button);
  };

  // What an entry would do is worked out by the server; without it the entry is kept as it was typed.
  const preview = async (address, place) => {
    const answer = await ask("/alive", {}, 4000).catch(() => null);
    if (answer?.ok) { location.assign(address); return; }
    const fields = [...new URL(address, location.href).searchParams];
    const box = words("", "div");
    box.className = "problem";
    box.setAttribute("role", "alert");
    box.append(words("The shop's computer does not answer. Its effect cannot be shown."),
      button(`Keep on this device: ${named(fields)}`, async (event) => {
        event.target.disabled = true;
        await keep(PAGE, fields);
        box.replaceChildren(words("Kept on this device. It is sent when the shop's computer answers."));
        await send();
      }));
    place.after(box);
    box.scrollIntoView({ block: "nearest" });
    box.querySelector("button").focus();
  };

  document.addEventListener("submit", (event) => {
    const form = event.target, action = form.getAttribute("action");
    const fields = [...new FormData(form, event.submitter)].filter(([, value]) => typeof value === "string" || value.size);
    if (form.dataset.plain) return;
    if (form.method === "post" && ANSWERS.includes(action) && window.indexedDB) {
      event.preventDefault();
      if (form.dataset.sent) return;
      form.dataset.sent = "yes";
      // Without a place to keep it, the form goes as it would without this script.
      write(form, fields).catch(() => { form.dataset.plain = "yes"; form.requestSubmit(event.submitter); });
    } else if (action === PAGE && window.indexedDB) {
      event.preventDefault();
      preview(`${PAGE}?${new URLSearchParams(fields)}`, form);
    }
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.('a[href^="/entry?"]');
    if (!link || event.ctrlKey || event.metaKey || !window.indexedDB) return;
    event.preventDefault();
    preview(link.getAttribute("href"), link);
  });
  for (const event of ["pageshow", "online"]) window.addEventListener(event, () => send());
  const started = Date.now(), visible = () => document.visibilityState === "visible";
  setInterval(() => visible() && send(), 60000);
  // A page that was out of sight for a minute may be old; one with a form that is being filled in is left alone.
  document.addEventListener("visibilitychange", () => visible() && send().then(() => {
    const shows = ["/", "/rags", "/closing"].includes(location.pathname) && !document.querySelector(".problem");
    if (shows && Date.now() - started > 60000) ask("/alive", {}, 4000).then((answer) => answer.ok && location.reload(), () => {});
  }));
  const ages = [...document.querySelectorAll("[data-since]")].map((place) => [place, Number(place.dataset.since)]);
  const tick = () => ages.forEach(([place, minutes]) => {
    const now = minutes + Math.floor((Date.now() - started) / 60000);
    if (now < 2880) place.textContent = now < 60 ? `${now} min` : `${Math.floor(now / 60)} h ${now % 60} min`;
  });
  setInterval(tick, 15000);
  // The wall looks again by itself, and says so when it cannot.
  const look = Number(document.body.dataset.refresh) * 1000, stale = () => say("The shop's computer does not answer. This page is old.");
  if (look) setInterval(() => ask("/alive", {}, 4000).then((answer) => (answer.ok ? location.reload() : stale()), stale), look);
})();
