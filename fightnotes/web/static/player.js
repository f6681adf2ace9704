// The player of a moment: steps by frame, repeats, slows down, and says at what time it stands.

import { beginOf, frameAt, mediaTime, middleOf, roundClock, timecode, timeOfFrame, toFootage } from "./frames.js";

const part = document.getElementById("player");
const media = document.getElementById("recording");
const told = JSON.parse(part.dataset.player);
const EARLY = 0.001; // seconds: a fragment's end is written to the millisecond, and playing stops there

const acts = {
  begin: () => goTo(told.start),
  "frame-back": () => step(-1),
  "frame-on": () => step(1),
  "second-back": () => bySeconds(-1),
  "second-on": () => bySeconds(1),
  play: () => (media.paused ? media.play() : media.pause()),
  repeat: () => repeatMoment(!isPressed("repeat")),
  clear: () => clearPicture(!isPressed("clear")),
};

function goTo(seconds) {
  if (told.rate) showFrame(frameAt(seconds, told.rate));
  else media.currentTime = seconds;
}

function showFrame(frame) {
  media.currentTime = middleOf(Math.max(0, Math.min(frame, lastFrame())), told.rate);
}

function lastFrame() {
  return Math.ceil(media.duration * (told.rate[0] / told.rate[1]) - 0.01) - 1;
}

function step(frames) {
  media.pause();
  showFrame(frameAt(media.currentTime, told.rate) + frames);
}

function bySeconds(seconds) {
  if (told.rate) showFrame(frameAt(media.currentTime, told.rate) + seconds * told.frames_a_second);
  else media.currentTime = Math.max(0, media.currentTime + seconds);
}

function isPressed(act) {
  return part.querySelector(`[data-act=${act}][aria-pressed=true]`) !== null;
}

function press(act, on) {
  part.querySelector(`[data-act=${act}]`).setAttribute("aria-pressed", String(on));
}

// The browser's own controls lie over the feet.
function clearPicture(on) {
  press("clear", on);
  media.controls = !on;
}

function repeatMoment(on) {
  press("repeat", on);
  if (!on) return;
  if (media.currentTime < told.start || isOver()) goTo(told.start);
  media.play();
}

function isOver() {
  return media.ended || media.currentTime >= told.end - EARLY;
}

function again() {
  if (!isPressed("repeat") || !isOver()) return;
  goTo(told.start);
  media.play();
}

// At its end a film goes on showing its last frame.
function shownFrame() {
  const frame = frameAt(media.currentTime, told.rate);
  return media.duration ? Math.min(frame, lastFrame()) : frame;
}

function show() {
  const frame = told.rate ? shownFrame() : null;
  const seconds = told.rate ? beginOf(frame, told.rate) : media.currentTime;
  const shown = {
    timecode: told.rate ? timecode(frame, told) : "",
    "media-time": told.rate ? timeOfFrame(frame, told.rate) : mediaTime(seconds, 3),
    "round-clock": roundClock(toFootage(seconds, told.align), told),
  };
  for (const [id, text] of Object.entries(shown)) {
    const output = document.getElementById(id);
    if (output) output.textContent = text;
  }
  return Object.values(shown).filter(Boolean).join(", ");
}

function follow() {
  show();
  again();
  if (!media.paused) requestAnimationFrame(follow);
}

function sayWhereItStands() {
  const where = show();
  if (media.paused) document.getElementById("stands-at").textContent = where;
}

function sayWhatFails() {
  warn(
    media.error
      ? `This browser cannot play the file${media.error.message ? ` (${media.error.message})` : ""}.`
      : "This browser plays the sound of the file and not its picture.",
    "The times below can be taken to another player.",
  );
  if (media.error) document.getElementById("controls").hidden = true;
}

// At its end it stands, as there is nothing of the moment to go to.
function sayThatItEndsBefore() {
  const [end, start] = [media.duration, told.start].map((seconds) => mediaTime(seconds, 3));
  warn(`The file ends at ${end}, before this moment, at ${start}: it is not the whole recording, or another one.`);
  for (const act of ["begin", "repeat"]) part.querySelector(`[data-act=${act}]`)?.setAttribute("disabled", "");
}

function warn(...sentences) {
  const place = document.getElementById("unplayable");
  place.textContent = sentences.join(" ");
  place.hidden = false;
}

function begin() {
  document.getElementById("controls").hidden = false;
  document.getElementById("clock-part").hidden = told.bells.length === 0;
  if (media.tagName === "VIDEO" && media.videoWidth === 0) sayWhatFails();
  if (told.start < media.duration) goTo(told.start);
  else sayThatItEndsBefore();
  show();
}

for (const button of part.querySelectorAll("[data-act]")) button.addEventListener("click", acts[button.dataset.act]);
for (const speed of part.querySelectorAll("[name=speed]")) {
  speed.addEventListener("change", () => (media.playbackRate = 1 / speed.value));
  media.addEventListener("ratechange", () => (speed.checked = media.playbackRate === 1 / speed.value));
}
part.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const wanted = [...part.querySelectorAll("[data-key]")].find((one) => one.dataset.key === event.key.toLowerCase());
  if (!wanted || document.getElementById("controls").hidden) return;
  event.preventDefault();
  wanted.click();
});
for (const link of document.querySelectorAll("[data-second]")) {
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.shiftKey || event.metaKey || media.readyState === 0) return;
    event.preventDefault();
    goTo(Number(link.dataset.second));
    part.scrollIntoView({ block: "nearest" });
  });
}
media.addEventListener("play", follow);
media.addEventListener("pause", again);
media.addEventListener("ended", again);
media.addEventListener("seeked", sayWhereItStands);
media.addEventListener("pause", sayWhereItStands);
media.addEventListener("error", sayWhatFails);
if (media.error) sayWhatFails();
else if (media.readyState > 0) begin();
else media.addEventListener("loadedmetadata", begin, { once: true });
