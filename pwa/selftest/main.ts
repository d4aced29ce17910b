/**
 * The page that tests the device it is shown on. It knows its own address and nothing else: no shop, no job, no storage.
 *
 * Written for old browsers: built as one plain script in the syntax of ES2015 (browsers from about 2016 on), with no
 * framework, no module loading, and no interface used before it was looked for.
 */
import { button, clear, el } from "./page.ts";
import { type Barred, isSecure, type Results, type Room, type Test, type TestName } from "./results.ts";
import "./selftest.css";
import { send } from "./send.ts";
import { frontCamera, rearCamera } from "./tests/camera.ts";
import { keys } from "./tests/keys.ts";
import { microphone } from "./tests/microphone.ts";
import { compass, gyroscope } from "./tests/motion.ts";
import { network } from "./tests/network.ts";
import { light, picture } from "./tests/picture.ts";
import { speaker } from "./tests/speaker.ts";
import { touch } from "./tests/touch.ts";
import { vibration } from "./tests/vibration.ts";

const TESTS: Test[] = [
  touch,
  picture,
  light,
  vibration,
  speaker,
  microphone,
  frontCamera,
  rearCamera,
  gyroscope,
  compass,
  keys,
  network,
];

const BARRED: Record<Barred, string> = {
  insecure: "This page came without a secured connection (https), and browsers then keep this from a page.",
  missing: "This browser does not offer it to a page.",
  refused: "The browser was told not to allow it.",
};

const found: Results = {};
const barred: Partial<Record<TestName, Barred>> = {};
let tidy: (() => void) | null = null;

const main = document.getElementById("test") as HTMLElement;
welcome();

function welcome(): void {
  const { area, actions } = sheet("This device tests itself", "");
  area.appendChild(el("p", "", `${TESTS.length} short tests, one after another. Each can be skipped.`));
  area.appendChild(
    el("p", "", "At the end you see what was found, and send it to the shop's screen. Nothing is kept on this device."),
  );
  if (!isSecure()) {
    area.appendChild(
      el(
        "p",
        "note",
        "This page came without a secured connection (https). Microphone and cameras, and in some browsers motion, cannot be tested here.",
      ),
    );
  }
  actions.appendChild(button("Begin", "main", () => show(0)));
}

function show(at: number): void {
  leave();
  const test = TESTS[at];
  if (test === undefined) {
    summary();
    return;
  }
  const next = (): void => show(at + 1);
  const { area, actions, text } = sheet(test.title, `Test ${at + 1} of ${TESTS.length}`);
  const skip = button("Skip", "plain", () => {
    delete found[test.name];
    next();
  });
  const bar = (why: Barred): void => {
    leave();
    delete found[test.name];
    barred[test.name] = why;
    clear(area);
    text.textContent = "This cannot be tested here.";
    area.appendChild(el("p", "note", BARRED[why]));
    clear(actions);
    actions.appendChild(button("Next", "main", next));
  };
  const offer = (...buttons: HTMLElement[]): void => {
    clear(actions);
    const row = el("div", buttons.length === 2 ? "pair" : "");
    for (const one of buttons) row.appendChild(one);
    actions.appendChild(row);
    actions.appendChild(skip);
  };
  const room: Room = {
    area,
    say: (said) => {
      text.textContent = said;
    },
    offer,
    ask: (good, bad, answered) =>
      offer(
        button(good, "good", () => answered("good")),
        button(bad, "bad", () => answered("bad")),
      ),
    keep: (name, what) => {
      found[name] = what;
      delete barred[name];
      next();
    },
    bar,
    leaving: (how) => {
      tidy = how;
    },
  };
  text.textContent = test.say;
  offer();
  const why = test.barred();
  if (why !== null) {
    bar(why);
    return;
  }
  try {
    test.run(room);
  } catch (_error) {
    // An old browser that has the name of a thing and not the thing.
    bar("missing");
  }
}

function summary(): void {
  const { area, actions } = sheet("What was found", "");
  const list = el("ul", "found");
  for (let at = 0; at < TESTS.length; at += 1) {
    const test = TESTS[at] as Test;
    const line = el("li", "");
    const said = el("div", "");
    said.appendChild(el("strong", "", test.title));
    said.appendChild(el("span", "", wordOf(test.name)));
    line.appendChild(said);
    const again = button("Again", "plain again", () => show(at));
    again.setAttribute("aria-label", `${test.title}: test again`);
    line.appendChild(again);
    list.appendChild(line);
  }
  area.appendChild(list);
  actions.appendChild(button("Send to the shop", "main", () => sending()));
}

function sending(): void {
  const { area, actions } = sheet("Sending", "");
  send({ ...found, barred }, (outcome) => {
    if (outcome === "sent") {
      sheet("Sent", "").area.appendChild(el("p", "", "The shop's screen has it. This page can be closed."));
    } else if (outcome === "over") {
      sheet("Too late", "").area.appendChild(
        el("p", "", "This address is not good any more. Show a new one on the shop's screen, and scan that."),
      );
    } else {
      area.appendChild(
        el(
          "p",
          "note",
          outcome === "wait"
            ? "The server asks to wait a minute. What was found is still here."
            : "The server was not reached. What was found is still here.",
        ),
      );
      actions.appendChild(button("Send again", "main", () => sending()));
    }
  });
}

function wordOf(name: TestName): string {
  if (barred[name] !== undefined) return "cannot be tested here";
  const value = found[name];
  if (value === undefined) return "skipped";
  if (name === "touch" && found.touch !== undefined) return touchWord(found.touch);
  if (name === "network" && found.network !== undefined) {
    return `${found.network.answered} of ${found.network.sent} answered`;
  }
  if (name === "keys") return "counted";
  return JSON.stringify(value).indexOf('"bad"') >= 0 ? "fails" : "works";
}

function touchWord(value: NonNullable<Results["touch"]>): string {
  const good = value.reached.split("1").length - 1;
  return `${Math.floor((100 * good) / value.reached.length)} % answers, ${value.fingers === 1 ? "1 finger" : `${value.fingers} fingers`}`;
}

/** Empty the page for the next thing. */
function sheet(title: string, above: string): { area: HTMLElement; actions: HTMLElement; text: HTMLElement } {
  leave();
  clear(main);
  if (above !== "") main.appendChild(el("p", "above", above));
  const heading = el("h1", "", title);
  heading.tabIndex = -1;
  main.appendChild(heading);
  const text = el("p", "say");
  text.setAttribute("role", "status");
  const area = el("div", "area");
  const actions = el("div", "actions");
  main.appendChild(text);
  main.appendChild(area);
  main.appendChild(actions);
  window.scrollTo(0, 0);
  if (above !== "") heading.focus();
  return { area, actions, text };
}

function leave(): void {
  const last = tidy;
  tidy = null;
  if (last !== null) last();
}
