// From a belief to the steps that are left: the twin of src/call/steps.rs.
//
// A step is named `fix ID` or `check ID`; fixes sort before checks, as the Rust enum does.

import { byFix } from "./belief.mjs";

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
export function openBefore(step, done, ground) {
  const isOpen = (before) => {
    const [kind, id] = parts(before);
    return kind === "fix"
      ? !done.tried.has(id) && ground.fixNumbers.has(id)
      : !Object.hasOwn(done.seen, id) && ground.checkNumbers.has(id);
  };
  return (workOf(step, ground)?.after ?? []).filter(isOpen);
}

/** A step as its kind and id. */
export function parts(step) {
  const at = step.indexOf(" ");
  return [step.slice(0, at), step.slice(at + 1)];
}

/** The fix or check that a step is. */
export function workOf(step, ground) {
  const [kind, id] = parts(step);
  return kind === "fix" ? ground.fixOf(id) : ground.checkOf(id);
}

/** The steps left: what each is, as jobs to put in order, and which of them the role may do. */
export function stepsLeft(belief, done, role, ground) {
  const chance = new Map();
  for (const [fix, p] of byFix(belief, ground)) {
    chance.set(`fix ${ground.fixes[fix].id}`, p);
  }
  const toVisit = [...chance.keys()];
  while (toVisit.length) {
    for (const before of openBefore(toVisit.pop(), done, ground)) {
      if (!chance.has(before)) {
        chance.set(before, 0);
        toVisit.push(before);
      }
    }
  }
  const what = [...chance.keys()].sort(compareSteps);
  const places = new Map(what.map((step, at) => [step, at]));
  const jobs = what.map((step) => ({
    chance: chance.get(step),
    minutes: minutes(step, ground),
    after: openBefore(step, done, ground)
      .map((before) => places.get(before))
      .filter((at) => at !== undefined),
  }));
  return { what, jobs, allowed: allowed(what, jobs, done, role, ground) };
}

function compareSteps(a, b) {
  const [[kindA, idA], [kindB, idB]] = [parts(a), parts(b)];
  if (kindA !== kindB) {
    return kindA === "fix" ? -1 : 1;
  }
  return idA < idB ? -1 : 1;
}

/** What a role may not do or cannot be done, and what would have to come after, is not allowed. */
function allowed(what, jobs, done, role, ground) {
  const may = what.map((step) => {
    const work = workOf(step, ground);
    return !done.notPossible.has(step) && Boolean(work) && mayDo(work, role, ground);
  });
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
  const places = new Map(old.map((at, now) => [at, now]));
  const kept = old.map((at) => ({
    ...jobs[at],
    after: jobs[at].after.map((b) => places.get(b)).filter((b) => b !== undefined),
  }));
  return { jobs: kept, old };
}

function minutes(step, ground) {
  const [kind, id] = parts(step);
  return kind === "fix" && ground.fixNumbers.has(id)
    ? ground.fixEvidence[ground.fixNumbers.get(id)].minutes
    : (workOf(step, ground)?.minutes ?? 0);
}
