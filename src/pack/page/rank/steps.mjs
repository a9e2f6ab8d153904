// From a belief to the steps that are left: the twin of src/call/steps.rs.
//
// A step is a number: fixes by their own, then checks by theirs, which is the order of the Rust enum.

import { byFix } from "./belief.mjs";

/** What has been done: which steps, by number, and which cannot be done in this case. */
export function doneSteps(tried, seen, couldNot, ground) {
  const done = new Uint8Array(ground.steps.length);
  const notPossible = new Uint8Array(ground.steps.length);
  const mark = (list, number) => {
    if (number !== undefined) {
      list[number] = 1;
    }
  };
  tried.forEach((id) => mark(done, ground.fixNumbers.get(id)));
  Object.keys(seen).forEach((id) => mark(done, ground.stepOfCheck(id)));
  for (const step of couldNot) {
    const [kind, id] = step.split(" ");
    mark(notPossible, kind === "fix" ? ground.fixNumbers.get(id) : ground.stepOfCheck(id));
  }
  return { done, notPossible };
}

/** Whether a role may do some work; without a role everything may be done. */
export function mayDo(work, role, ground) {
  if (!role) {
    return true;
  }
  const handles = (hazard) =>
    (ground.hazards.get(hazard)?.roles ?? []).some((r) => ground.may(role, r));
  return ground.may(role, work.who) && work.hazards.every(handles);
}

/** What a step must come after and is not done yet. */
export function openBefore(step, { done }, ground) {
  const { after } = ground.steps[step];
  return after.length ? after.filter((before) => !done[before]) : after;
}

/** The steps left: what each is, as jobs to put in order, and which of them the role may do. */
export function stepsLeft(belief, done, role, ground) {
  const chance = byFix(belief, ground);
  const toVisit = [...chance.keys()];
  while (toVisit.length) {
    for (const before of openBefore(toVisit.pop(), done, ground)) {
      if (!chance.has(before)) {
        chance.set(before, 0);
        toVisit.push(before);
      }
    }
  }
  const what = [...chance.keys()].sort((a, b) => a - b);
  const places = new Map(what.map((step, at) => [step, at]));
  const jobs = what.map((step) => ({
    chance: chance.get(step),
    minutes: ground.steps[step].minutes,
    after: openBefore(step, done, ground).map((before) => places.get(before)),
  }));
  return { what, jobs, allowed: allowed(what, jobs, done, role, ground) };
}

/** What a role may not do or cannot be done, and what would have to come after, is not allowed. */
function allowed(what, jobs, { notPossible }, role, ground) {
  const may = what.map((step) => !notPossible[step] && mayDo(ground.steps[step].work, role, ground));
  for (let changed = true; changed; ) {
    changed = false;
    jobs.forEach((job, at) => {
      if (may[at] && job.after.some((before) => !may[before])) {
        may[at] = false;
        changed = true;
      }
    });
  }
  return may;
}

/** The jobs that `keep` names, renumbered, with their old numbers. */
export function subset({ jobs }, keep) {
  const old = jobs.map((_, at) => at).filter(keep);
  if (old.length === jobs.length) {
    return { jobs, old };
  }
  const places = new Map(old.map((at, now) => [at, now]));
  const kept = old.map((at) => ({
    ...jobs[at],
    after: jobs[at].after.map((b) => places.get(b)).filter((b) => b !== undefined),
  }));
  return { jobs: kept, old };
}
