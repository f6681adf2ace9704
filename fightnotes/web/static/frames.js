// Frames, timecode and the round clock, counted as the program itself counts them. A rate is a fraction: [over, under].

const NOISE = 1e-6; // of a frame: what a time in floating point may lack of the frame that it begins

export function frameAt(seconds, [over, under]) {
  return Math.floor((seconds * over) / under + NOISE);
}

export function beginOf(frame, [over, under]) {
  return (frame * under) / over;
}

// Where a player shows this frame and no other, whichever way it rounds.
export function middleOf(frame, [over, under]) {
  return ((2 * frame + 1) * under) / (2 * over);
}

// SMPTE ST 12-1: drop-frame counting leaves out labels at the start of each minute except each tenth.
export function timecode(frame, { frames_a_second: count, drop_frame: drop, first_frame: first }) {
  const dropped = drop ? count / 15 : 0;
  const minute = 60 * count - dropped;
  const tenMinutes = 10 * minute + dropped;
  const number = (first + frame) % (144 * tenMinutes); // of a day
  const within = number % tenMinutes;
  const minutesDropping = 9 * Math.floor(number / tenMinutes) + Math.max(0, Math.floor((within - dropped) / minute));
  const label = number + dropped * minutesDropping;
  const seconds = Math.floor(label / count);
  const parts = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60].map(twoDigits);
  return `${parts.join(":")}${drop ? ";" : ":"}${twoDigits(label % count)}`;
}

// `m:ss`, from an hour on `h:mm:ss`, with so many decimals; half-way values go up.
export function mediaTime(seconds, decimals) {
  const step = 10 ** (6 - decimals);
  const units = Math.floor((micro(seconds) + step / 2) / step);
  const [whole, part] = [Math.floor(units / 10 ** decimals), units % 10 ** decimals];
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60)];
  const clock = hours ? `${hours}:${twoDigits(minutes % 60)}` : `${minutes}`;
  return `${clock}:${twoDigits(whole % 60)}.${String(part).padStart(decimals, "0")}`;
}

// The time at which a frame begins, to the next millisecond: read as a time, it names this frame.
export function timeOfFrame(frame, rate) {
  return mediaTime(Math.ceil(beginOf(frame, rate) * 1000 - NOISE) / 1000, 3);
}

// Seconds of the footage, on a straight line between the aligned pairs around; null outside of them.
export function toFootage(seconds, pairs) {
  if (pairs === null) return seconds;
  const after = pairs.findIndex(([own]) => own >= seconds);
  if (after < 0) return null;
  const [own, footage] = pairs[after];
  if (own === seconds) return footage;
  if (after === 0) return null;
  const [ownBefore, footageBefore] = pairs[after - 1];
  return footageBefore + ((seconds - ownBefore) * (footage - footageBefore)) / (own - ownBefore);
}

// Where in the bout a second of the footage falls; empty where the bells do not tell.
export function roundClock(seconds, { bells, round_length: length, clock }) {
  if (seconds === null || bells.length === 0) return "";
  const rung = bells.filter(([, bell]) => micro(bell) <= micro(seconds));
  if (rung.length === 0) return "before the first bell";
  const [round, bell] = rung[rung.length - 1];
  const gone = micro(seconds - bell) / 1e6;
  if (gone < length) return `R${round} ${mediaTime(clock === "up" ? gone : length - gone, 2)}`;
  if (rung.length === bells.length) return `after R${round}, the last`;
  return bells.some(([number]) => number === round + 1) ? `rest after R${round}` : "";
}

function micro(seconds) {
  return Math.round(seconds * 1e6);
}

function twoDigits(number) {
  return String(number).padStart(2, "0");
}
