/* Comfort for the bench page; every form works without it.

   - counts get − and + and "all", and the rest of a tray is reckoned while typing
   - an entry is kept on this phone until the book has it: forms carry a key, so sending one
     twice writes it once
   - without a signal the trays of the round that was opened can still be walked to
   - a page that is open notices when somebody else wrote, and shows fresh figures

   Pages on a home network come over http, where browsers offer no service worker; so entries
   wait in the open page's storage, and the page has to stay open (or be opened again there). */
"use strict";

(() => {
  const KEPT = "bench.waiting";
  const NEWS_MS = 4000;
  const SLOW_MS = 8000;
  const AHEAD_MS = 150;
  const SENT_MS = 8000;
  const signal = document.getElementById("signal");
  const words = signal.dataset;
  const main = document.getElementById("main");
  let offline = false;
  let news = false;
  let sent = "";

  /* ---- small helpers ---- */

  const make = (tag, text = "", more = {}) =>
    Object.assign(document.createElement(tag), { textContent: text }, more);

  const number = (input) => (/^\d+$/.test(input.value.trim()) ? Number(input.value) : 0);

  const kept = () => {
    try { return JSON.parse(localStorage.getItem(KEPT)) || []; } catch { return []; }
  };

  const keep = (entries) => localStorage.setItem(KEPT, JSON.stringify(entries));

  const timely = (address, more = {}) =>
    fetch(address, { ...more, signal: AbortSignal.timeout(SLOW_MS) });

  /* ---- counts ---- */

  const stepped = (count) => {
    if (count.classList.contains("stepped")) return;
    const input = count.querySelector("input");
    const most = Number(count.dataset.most);
    const from = Number(count.dataset.from);
    const name = count.querySelector("label").textContent.trim();
    const change = (value) => {
      input.value = Math.max(0, Math.min(most, value));
      input.dispatchEvent(new Event("input", { bubbles: true }));
    };
    const step = (sign, by) => {
      const button = make("button", sign, { type: "button" });
      button.setAttribute("aria-label", `${sign} 1, ${name}`);
      button.addEventListener("click", () =>
        change(input.value === "" ? from + Math.max(0, by) : number(input) + by));
      return button;
    };
    input.before(step("−", -1));
    input.after(step("+", 1));
    if (count.dataset.every) {
      const every = make("button", count.dataset.every, { type: "button", className: "every" });
      every.setAttribute("aria-label", `${count.dataset.every}, ${name}`);
      every.addEventListener("click", () => change(most));
      input.nextElementSibling.after(every);
    }
    count.classList.add("stepped");
  };

  const tellRest = (form) => {
    const line = form.querySelector(".rest");
    const tray = Number(form.dataset.inTray);
    const plain = line.textContent;
    const tell = () => {
      const { rooted, dead, sample } = form.elements;
      const rest = tray - number(rooted) - number(dead);
      const counted = rooted.value !== "" && sample.value === "";
      line.classList.toggle("over-full", counted && rest < 0);
      if (!counted) line.textContent = plain;
      else if (rest < 0) line.textContent = line.dataset.over.replace("{n}", -rest);
      else line.textContent = line.dataset.words.replace("{n}", rest);
    };
    form.addEventListener("input", tell);
    tell();
  };

  const pickers = (row) => {
    if (row.childElementCount) return;
    const boxes = () => [...row.closest("form").querySelectorAll("input[name=tray]")];
    const add = (text, which) => {
      const button = make("button", text, { type: "button" });
      button.addEventListener("click", () => boxes().forEach((b) => { b.checked = which(b); }));
      row.append(button);
    };
    add(row.dataset.all, () => true);
    add(row.dataset.none, () => false);
    add(row.dataset.new, (box) => "new" in box.dataset);
  };

  const dress = () => {
    document.querySelectorAll(".count").forEach(stepped);
    document.querySelectorAll("form.look").forEach(tellRest);
    document.querySelectorAll(".pickers").forEach(pickers);
    const aim = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (aim) {
      const fold = aim.closest("details");
      if (fold) fold.open = true;
      aim.scrollIntoView();
    }
  };

  /* ---- saying what is going on ---- */

  const say = (text, action) => {
    signal.replaceChildren(make("span", text));
    if (action) signal.append(action);
    signal.hidden = text === "";
  };

  const sayWaiting = () => {
    const waiting = kept().filter((entry) => !entry.refused).length;
    if (!offline && !waiting) { if (!news) say(sent); return; }
    if (!waiting) say(words.none);
    else say(waiting === 1 ? words.waitingOne : words.waitingMany.replace("{n}", waiting));
  };

  /* What waited has gone out: told for a little while. */
  const saySent = (count) => {
    sent = count === 1 ? words.sentOne : words.sentMany.replace("{n}", count);
    setTimeout(() => { sent = ""; sayWaiting(); }, SENT_MS);
    sayWaiting();
  };

  const showWaiting = () => {
    const box = document.getElementById("waiting");
    const entries = kept();
    box.hidden = entries.length === 0;
    box.replaceChildren();
    if (!entries.length) return;
    box.append(make("p", words.kept));
    const list = make("ul");
    for (const entry of entries) {
      const line = make("li", entry.said);
      if (entry.refused) {
        line.append(make("br"), make("b", `${words.refused} `), entry.refused, make("br"));
        const look = make("a", words.again, { href: entry.page });
        const drop = make("button", words.drop, { type: "button", className: "plain" });
        drop.addEventListener("click", () => {
          keep(kept().filter((other) => other.key !== entry.key));
          showWaiting();
          sayWaiting();
        });
        line.append(look, " ", drop);
      }
      list.append(line);
    }
    box.append(list);
  };

  /* ---- entries: kept first, then sent, in the order they were written ---- */

  const saidOf = (form) => {
    const head = form.closest(".deed")?.querySelector("summary span, h2");
    const title = head?.firstChild.textContent.trim() || document.title;
    const values = [...form.elements]
      .filter((e) => e.name && e.type !== "hidden" && e.type !== "date" && e.value !== "")
      .map((e) => `${e.labels?.[0]?.firstChild?.textContent.trim() || e.name} ${e.value}`);
    const code = form.action.match(/\/T\/([^/]+)\//)?.[1] || "";
    return [code, title, values.join(", ")].filter(Boolean).join(" · ");
  };

  const keepForm = (form) => {
    const fields = new URLSearchParams(new FormData(form));
    const entry = {
      key: fields.get("request"),
      address: new URL(form.action).pathname,
      page: location.pathname,
      fields: fields.toString(),
      said: saidOf(form),
    };
    keep([...kept(), entry]);
    // The next entry from this form is another one, and gets a key of its own.
    const bytes = crypto.getRandomValues(new Uint8Array(18));
    form.elements.request.value = btoa(String.fromCharCode(...bytes)).replace(/[+/=]/g, "x");
    return entry;
  };

  /* What one accepted entry means for those that wait behind it: they saw it too. */
  const passOn = (entries, address, seen) => {
    const tray = address.match(/^\/T\/[^/]+\//)?.[0];
    for (const later of entries) {
      if (tray && later.address.startsWith(tray) && !later.refused) {
        const fields = new URLSearchParams(later.fields);
        if (fields.has("seen")) fields.set("seen", seen);
        later.fields = fields.toString();
      }
    }
  };

  let sending = null;
  const sendAll = () => (sending ||= sendWaiting().finally(() => { sending = null; }));

  const sendWaiting = async () => {
    const answers = new Map();
    for (;;) {
      const next = kept().find((entry) => !entry.refused);
      if (!next) break;
      let answer, told;
      try {
        answer = await timely(next.address, {
          method: "POST",
          body: next.fields,
          headers: {
            "Content-Type": "application/x-www-form-urlencoded",
            Accept: "application/json",
          },
        });
        told = await answer.json().catch(() => ({}));
      } catch {
        offline = true;
        break;
      }
      offline = false;
      if (answer.status === 401) { say(words.unpaired); break; }
      if (answer.status >= 500 || answer.status === 408 || answer.status === 429) { offline = true; break; }
      let entries = kept();
      if (answer.ok) {
        entries = entries.filter((entry) => entry.key !== next.key);
        passOn(entries, next.address, told.seen);
      } else {
        const mine = entries.find((entry) => entry.key === next.key);
        if (mine) mine.refused = told.refused || `${answer.status}`;
      }
      keep(entries);
      answers.set(next.key, { ok: answer.ok, ...told });
    }
    showWaiting();
    sayWaiting();
    return answers;
  };

  /* A form that is sent: kept, then tried at once. With a signal the page goes on as it would
     without script; without one it stays, ready for the next entry. */
  const submitted = async (event) => {
    const form = event.target;
    if (!form.matches("form[data-deed], form[data-undo]") || !form.elements.request) return;
    event.preventDefault();
    const entry = keepForm(form);
    const answers = await sendAll();
    const answer = answers.get(entry.key);
    if (!answer) {
      form.reset();
      form.dispatchEvent(new Event("input"));
      const fold = form.closest("details");
      if (fold) fold.open = false;
      return;
    }
    if (answer.ok) {
      const undone = form.matches("[data-undo]");
      const way = undone ? `taken=${answer.entry}` : `done=${answer.entry}`;
      location.assign(answer.batch ? `/T/${answer.batch}?${way}#done` : "/");
      if (location.pathname === `/T/${answer.batch}` && location.search === `?${way}`) location.reload();
    } else {
      // Refused while somebody looks on: the page itself tells it, with the fields still filled.
      keep(kept().filter((other) => other.key !== entry.key));
      showWaiting();
      refuse(form, answer);
    }
  };

  const refuse = (form, answer) => {
    form.querySelector(".trouble")?.remove();
    const box = make("div", "", { className: "trouble", tabIndex: -1 });
    box.setAttribute("role", "alert");
    box.append(make("p", answer.refused));
    if (answer.changes?.length) {
      const fresh = make("button", words.fresh, { type: "button", className: "plain" });
      fresh.addEventListener("click", () => renew(true));
      box.append(fresh);
    }
    form.querySelector("button:not([type])").before(box);
    box.focus();
  };

  /* ---- walking the round without a signal ----

     The pages of the trays that this page leads to are fetched ahead, one after the other. Where
     there is no signal a tap on such a link shows the fetched page, forms and all. */

  const ahead = new Map();
  const LINKS = "a.job, a.traycard";

  const fetchAhead = async () => {
    for (const link of [...main.querySelectorAll(LINKS)]) {
      const path = new URL(link.href).pathname;
      if (ahead.has(path) || offline || document.hidden) continue;
      try {
        const answer = await timely(path, { headers: { Accept: "text/html" } });
        if (answer.ok) ahead.set(path, await answer.text());
      } catch { return; }
      await new Promise((after) => setTimeout(after, AHEAD_MS));
    }
  };

  const keepThis = () => ahead.set(location.pathname, document.documentElement.outerHTML);

  const show = (path) => {
    const page = new DOMParser().parseFromString(ahead.get(path), "text/html");
    const fresh = page.getElementById("main");
    main.replaceChildren(...fresh.childNodes);
    main.dataset.seen = fresh.dataset.seen;
    document.title = page.title;
    dress();
    main.focus();
    if (!location.hash) scrollTo(0, 0);
  };

  const tapped = (event) => {
    const link = event.target.closest?.("a[href]");
    if (!offline || !link || link.origin !== location.origin) return;
    if (!ahead.has(link.pathname)) return;
    event.preventDefault();
    keepThis();
    history.pushState({}, "", link.pathname + link.hash);
    show(link.pathname);
  };

  document.addEventListener("click", tapped);
  window.addEventListener("popstate", () => {
    if (ahead.has(location.pathname)) show(location.pathname);
    else location.reload();
  });

  /* ---- news: is what this page shows still so? ---- */

  const untouched = () =>
    [...main.querySelectorAll("form[data-deed] input:not([type=hidden])")]
      .every((input) => input.value === input.defaultValue) && !main.contains(document.activeElement);

  const renew = async (asked) => {
    const answer = await timely(location.pathname + location.search, { headers: { Accept: "text/html" } });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("main");
    main.replaceChildren(...fresh.childNodes);
    main.dataset.seen = fresh.dataset.seen;
    ahead.clear();
    fetchAhead();
    news = false;
    dress();
    sayWaiting();
    if (asked) main.focus();
  };

  const askNews = async () => {
    if (document.hidden) return;
    try {
      const answer = await timely("/news");
      if (answer.status === 401) { say(words.unpaired); return; }
      const { latest } = await answer.json();
      const back = offline;
      offline = false;
      const waited = kept().filter((entry) => !entry.refused).length;
      if (back || waited) {
        const taken = [...(await sendAll()).values()].filter((told) => told.ok).length;
        if (taken) saySent(taken);
      }
      if (latest > Number(main.dataset.seen)) {
        if (untouched()) await renew(false);
        else {
          news = true;
          const fresh = make("button", words.fresh, { type: "button", className: "plain" });
          fresh.addEventListener("click", () => renew(true));
          say(words.news, fresh);
        }
      } else sayWaiting();
    } catch {
      offline = true;
      sayWaiting();
    }
  };

  document.addEventListener("submit", submitted);
  document.addEventListener("visibilitychange", askNews);
  window.addEventListener("online", askNews);
  window.addEventListener("offline", askNews);
  window.addEventListener("storage", showWaiting);
  dress();
  showWaiting();
  sayWaiting();
  if (Number(main.dataset.seen) || kept().length) {
    sendAll();
    setInterval(askNews, NEWS_MS);
    setTimeout(fetchAhead, AHEAD_MS);
  }
})();
