// @ts-check
/**
 * What the bench tells the shop, kept on the tablet until the shop has it.
 *
 * A record is on the disk (strict durability) before the page moves on; the shop ignores one that it has, so a
 * batch may be sent again and again; a record is deleted only after the shop said that it has it.
 */

const RETRY_MS = 2000;
const GIVE_UP_MS = 6000;
const MOST = 100;

/**
 * @typedef {{kind: "readings" | "strokes" | "step", job: number, plan: number, refused?: string, body: any, order?: number}} Kept
 * @typedef {{waiting: number, refused: number, why: string, door: boolean, reached: boolean | null}} State
 */

/** @param {IDBRequest | IDBTransaction} asked @returns {Promise<any>} */
function settled(asked) {
  return new Promise((resolve, reject) => {
    if ("oncomplete" in asked) asked.oncomplete = () => resolve(undefined);
    else asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
    if ("onabort" in asked) asked.onabort = () => reject(asked.error);
  });
}

/** @returns {Promise<IDBDatabase>} */
function opened() {
  const asked = indexedDB.open("foamwright-bench", 1);
  asked.onupgradeneeded = () => {
    const kept = asked.result.createObjectStore("waiting", { keyPath: "order", autoIncrement: true });
    kept.createIndex("job", "job");
    asked.result.createObjectStore("counts");
    asked.result.createObjectStore("places");
  };
  return settled(asked);
}

/** A name that no other tablet ever makes: 128 random bits. `randomUUID` needs https, this does not. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export class Queue {
  /**
   * @param {IDBDatabase} database
   * @param {{job: number, plan: number, csrf: string, changed: (state: State) => void, told: (answer: any) => void}} page
   */
  constructor(database, page) {
    this.database = database;
    this.page = page;
    this.sending = false;
    /** @type {State} */
    this.state = { waiting: 0, refused: 0, why: "", door: false, reached: null };
  }

  /** @param {Queue["page"]} page */
  static async open(page) {
    const queue = new Queue(await opened(), page);
    await queue.askAgain();
    await queue.count();
    setInterval(() => queue.send(), RETRY_MS);
    addEventListener("online", () => queue.send());
    queue.send();
    return queue;
  }

  /** @param {IDBTransactionMode} mode */
  work(mode) {
    return this.database.transaction(["waiting", "counts", "places"], mode, { durability: "strict" });
  }

  /** Where the person stands, as it was kept with the last record. */
  place() {
    return settled(this.work("readonly").objectStore("places").get([this.page.job, this.page.plan]));
  }

  /**
   * Keep records and where the person stands now, all or nothing; done once it is on the disk.
   * @param {{kind: Kept["kind"], body: any}[]} records
   * @param {any} place
   */
  async keep(records, place) {
    const { job, plan } = this.page;
    const work = this.work("readwrite");
    const done = settled(work);
    const counts = work.objectStore("counts");
    let next = (await settled(counts.get(job))) ?? 0;
    for (const record of records) {
      if (record.kind === "readings") record.body.sequence = next++;
      work.objectStore("waiting").add({ ...record, job, plan });
    }
    counts.put(next, job);
    work.objectStore("places").put(place, [job, plan]);
    await done;
    await this.count();
    if (records.length) this.send();
  }

  /** @returns {Promise<Kept[]>} */
  async all() {
    return settled(this.work("readonly").objectStore("waiting").index("job").getAll(this.page.job));
  }

  async count() {
    const all = await this.all();
    const refused = all.filter((one) => one.refused);
    this.tell({
      waiting: all.filter((one) => one.kind === "readings" && !one.refused).length,
      refused: refused.length,
      why: refused[0]?.refused ?? "",
    });
  }

  /** @param {Partial<State>} news */
  tell(news) {
    this.state = { ...this.state, ...news };
    this.page.changed(this.state);
  }

  /** Once a page load, what was refused is tried again: the shop may know better by now. */
  async askAgain() {
    const work = this.work("readwrite");
    const store = work.objectStore("waiting");
    for (const one of await settled(store.getAll())) {
      if (one.refused) store.put({ ...one, refused: undefined });
    }
    await settled(work);
  }

  async send() {
    if (this.sending) return;
    this.sending = true;
    try {
      for (;;) {
        const batch = nextBatch(await this.all());
        if (!batch.length || !(await this.sendBatch(batch))) return;
      }
    } finally {
      this.sending = false;
    }
  }

  /** @param {Kept[]} batch @returns {Promise<boolean>} whether to go on */
  async sendBatch(batch) {
    const { path, method, body } = letter(batch);
    /** @type {Response} */
    let answer;
    let told;
    try {
      answer = await fetch(path, {
        method,
        headers: { "content-type": "application/json", "x-foamwright-csrf": this.page.csrf },
        body: JSON.stringify(body),
        signal: AbortSignal.timeout(GIVE_UP_MS),
      });
      told = await answer.json();
    } catch {
      this.tell({ reached: false });
      return false;
    }
    this.tell({ reached: true, door: answer.status === 401 || answer.status === 403 });
    if (answer.ok) await this.forget(batch, told);
    else if ([404, 409, 413, 422].includes(answer.status)) await this.setAside(batch, told);
    else return false;
    await this.count();
    if (answer.ok && batch[0].kind !== "step") this.page.told(told);
    return true;
  }

  /** @param {Kept[]} batch @param {any} told */
  async forget(batch, told) {
    const refused = new Map((told.refused ?? []).map((/** @type {any} */ one) => [one.client_id, one.problems]));
    const work = this.work("readwrite");
    const store = work.objectStore("waiting");
    for (const one of batch) {
      const problems = refused.get(one.body.client_id);
      if (!problems) store.delete(/** @type {number} */ (one.order));
      else store.put({ ...one, refused: words(problems) });
    }
    await settled(work);
  }

  /** @param {Kept[]} batch @param {any} told */
  async setAside(batch, told) {
    const work = this.work("readwrite");
    const store = work.objectStore("waiting");
    for (const one of batch) {
      // Where a step stands is told again with the next one; a reading is never given up.
      if (one.kind === "step") store.delete(/** @type {number} */ (one.order));
      else store.put({ ...one, refused: words(told.problems ?? []) });
    }
    await settled(work);
  }
}

/** @param {any[]} problems */
function words(problems) {
  return problems.map((one) => `${one.what} ${one.remedy}`.trim()).join(" ") || "?";
}

/** The first records of one kind (and plan), in order. @param {Kept[]} all */
function nextBatch(all) {
  const waiting = all.filter((one) => !one.refused);
  const first = waiting[0];
  if (!first) return [];
  if (first.kind === "step") return [first];
  const other = waiting.findIndex((one) => one.kind !== first.kind || one.plan !== first.plan);
  return waiting.slice(0, Math.min(other < 0 ? waiting.length : other, MOST));
}

/** @param {Kept[]} batch */
function letter(batch) {
  const { kind, job, plan, body } = batch[0];
  const bodies = batch.map((one) => one.body);
  if (kind === "step") return { path: `/api/jobs/${job}/steps/${body.step}`, method: "PUT", body: { state: body.state } };
  if (kind === "strokes") {
    return { path: `/api/jobs/${job}/strokes`, method: "POST", body: { plan_revision: plan, strokes: bodies } };
  }
  return { path: `/api/jobs/${job}/readings`, method: "POST", body: { readings: bodies } };
}
