import { afterEach, beforeEach, expect, test, vi } from "vitest";

/** A service worker's side of the browser, in the few parts that update.ts touches. */
class FakeWorker extends EventTarget {
  readonly heard: unknown[] = [];
  postMessage(message: unknown): void {
    this.heard.push(message);
  }
}

class FakeRegistration extends EventTarget {
  active: FakeWorker | null = null;
  waiting: FakeWorker | null = null;
  installing: FakeWorker | null = null;
  asked = 0;
  update(): Promise<void> {
    this.asked += 1;
    return Promise.reject(new TypeError("offline"));
  }
}

class FakeContainer extends EventTarget {
  controller: FakeWorker | null = null;
  readonly registration = new FakeRegistration();
  refuses = false;
  register(): Promise<FakeRegistration> {
    return this.refuses ? Promise.reject(new Error("no HTTPS")) : Promise.resolve(this.registration);
  }
}

let container: FakeContainer;
let page: EventTarget & { visibilityState: string };
let reload: ReturnType<typeof vi.fn>;
let app: typeof import("../../../pwa/src/sw/update.ts");

beforeEach(async () => {
  container = new FakeContainer();
  page = Object.assign(new EventTarget(), { visibilityState: "visible" });
  reload = vi.fn();
  vi.useFakeTimers();
  vi.stubGlobal("navigator", { serviceWorker: container });
  vi.stubGlobal("document", page);
  vi.stubGlobal("location", { reload });
  vi.resetModules();
  app = await import("../../../pwa/src/sw/update.ts");
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** A version that arrives while the page is open. */
function newVersionArrives(): FakeWorker {
  const worker = new FakeWorker();
  container.registration.installing = worker;
  container.registration.dispatchEvent(new Event("updatefound"));
  container.registration.installing = null;
  container.registration.waiting = worker;
  worker.dispatchEvent(new Event("statechange"));
  return worker;
}

function runAnOlderVersion(): void {
  container.controller = new FakeWorker();
  container.registration.active = container.controller;
}

test("a new version that arrives is offered and does not reload the page", async () => {
  runAnOlderVersion();
  await app.startServiceWorker();
  expect(app.updateWaiting.value).toBe(false);
  const arrived = newVersionArrives();
  expect(app.updateWaiting.value).toBe(true);
  expect(arrived.heard).toEqual([]);
  expect(reload).not.toHaveBeenCalled();
});

test("a version that was waiting before the page was opened is offered", async () => {
  runAnOlderVersion();
  container.registration.waiting = new FakeWorker();
  await app.startServiceWorker();
  expect(app.updateWaiting.value).toBe(true);
});

test("the very first version is not offered as an update", async () => {
  await app.startServiceWorker();
  newVersionArrives();
  expect(app.updateWaiting.value).toBe(false);
});

test("agreeing tells the waiting version and reloads once it has taken over", async () => {
  runAnOlderVersion();
  await app.startServiceWorker();
  const arrived = newVersionArrives();
  app.applyUpdate();
  expect(arrived.heard).toEqual(["take-over"]);
  expect(reload).not.toHaveBeenCalled();
  container.dispatchEvent(new Event("controllerchange"));
  expect(reload).toHaveBeenCalledTimes(1);
});

test("a version that took over from another tab is offered here and reloads only when agreed", async () => {
  runAnOlderVersion();
  await app.startServiceWorker();
  container.dispatchEvent(new Event("controllerchange"));
  expect(app.updateWaiting.value).toBe(true);
  expect(reload).not.toHaveBeenCalled();
  app.applyUpdate();
  expect(reload).toHaveBeenCalledTimes(1);
});

test("the page asks for a newer version when it is seen again and once an hour, also offline", async () => {
  await app.startServiceWorker();
  page.dispatchEvent(new Event("visibilitychange"));
  expect(container.registration.asked).toBe(1);
  page.visibilityState = "hidden";
  page.dispatchEvent(new Event("visibilitychange"));
  expect(container.registration.asked).toBe(1);
  vi.advanceTimersByTime(60 * 60 * 1000);
  expect(container.registration.asked).toBe(2);
});

test("a browser that can't keep the app is told from one that can", async () => {
  expect(await app.startServiceWorker()).toBe(true);
  container.refuses = true;
  expect(await app.startServiceWorker()).toBe(false);
  vi.stubGlobal("navigator", {});
  expect(await app.startServiceWorker()).toBe(false);
});

test("service workers that are blocked without an error are told like missing ones", async () => {
  container.register = () => Promise.resolve(undefined as never);
  expect(await app.startServiceWorker()).toBe(false);
  const forbidden = Object.defineProperty({}, "serviceWorker", {
    get: () => {
      throw new Error("SecurityError");
    },
  });
  vi.stubGlobal("navigator", forbidden);
  expect(await app.startServiceWorker()).toBe(false);
});
