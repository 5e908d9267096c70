// @ts-check
// The page for the wall: loaded anew when a pupil has moved on.

/** What moves a pupil on. */
const MOVES = ["step-changed", "brief-signed", "job-plan", "job-stage", "course-changed"];
/** Milliseconds that a burst of events is waited for. */
const BURST = 800;

let waiting = 0;
const live = new EventSource("/api/live");
for (const name of MOVES) {
  live.addEventListener(name, () => {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => window.location.reload(), BURST);
  });
}
