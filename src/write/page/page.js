/* The page by the clock: what is to do now, until when what runs, what was done when. */
(function () {
'use strict';
var MINUTE = 60000, DAY = 86400000, FAR = DAY / 2, MOST = 4;
var key = 'bakeset ' + document.body.dataset.plan + ' ' + document.body.dataset.version;
var ring = null, lock = null, rung = Date.now(), shown = '', kept = true, live = [];
function $(id) { return document.getElementById(id); }

/* ------------------------------------------------------------- the steps */
var steps = Array.prototype.map.call(document.querySelectorAll('.steps > li'), function (li) {
  var time = li.querySelector('time'), stamp = time.dateTime;
  var sign = /([+-])(\d\d):(\d\d)$/.exec(stamp);
  var at = Date.parse(stamp), until = li.dataset.until ? Date.parse(li.dataset.until) : at;
  return {li: li, box: li.querySelector('input'), at: at, until: until,
    offset: sign ? (sign[1] === '-' ? -1 : 1) * (+sign[2] * 60 + +sign[3]) * MINUTE : 0,
    runs: li.dataset.runs !== undefined, word: li.querySelector('.word').textContent,
    what: li.querySelector('.what').textContent, ends: (li.dataset.ends || '').split(' '),
    told: li.dataset.done ? Date.parse(li.dataset.done) : 0, done: 0};
});
var touches = steps.filter(function (s) { return s.box; });
if (!touches.length) return;
var first = touches[0].at, end = touches[touches.length - 1].at;
steps.forEach(function (s) { end = Math.max(end, s.until); });
function due(s) { return s.runs ? s.at : s.until; }
function offset(t) {
  var near = touches[0];
  touches.forEach(function (s) { if (s.at <= t) near = s; });
  return near.offset;
}
function clock(t, by) { return new Date(t + by).toISOString().slice(11, 16); }
function two(n) { return (n < 10 ? '0' : '') + n; }
function span(t) {
  var s = Math.max(0, Math.ceil(t / 1000)), m = Math.floor(s / 60), h = Math.floor(m / 60);
  if (h >= 24) return Math.floor(h / 24) + ' d ' + h % 24 + ' h';
  if (h > 0) return h + ' h ' + two(m % 60) + ' min';
  return m > 0 ? m + ' min ' + two(s % 60) + ' s' : s + ' s';
}

/* ------------------------------------------------------------- what is kept */
function read(name) {
  try { return localStorage.getItem(name); } catch (e) { kept = false; return null; }
}
function write(name, value) {
  try { localStorage.setItem(name, value); } catch (e) { kept = false; }
}
function save() {
  var all = {};
  touches.forEach(function (s) { if (s.done) all[s.li.id] = s.done; });
  write(key, JSON.stringify(all));
}
function load() {
  var all = {};
  try { all = JSON.parse(read(key)) || {}; } catch (e) { all = {}; }
  touches.forEach(function (s) {
    s.done = typeof all[s.li.id] === 'number' && isFinite(all[s.li.id]) ?
      all[s.li.id] : s.told;
    s.box.checked = s.done > 0;
  });
}

/* ------------------------------------------------------------- ticks */
function lastDone() {
  var last = null;
  touches.forEach(function (s) { if (s.done && (!last || s.done >= last.done)) last = s; });
  return last;
}
function mark() {
  var last = lastDone(), count = 0;
  touches.forEach(function (s) {
    var real = s.li.querySelector('.real'), input = real.querySelector('input');
    var away = s.done > 0 && s !== last;
    s.li.classList.toggle('done', s.done > 0);
    s.li.classList.toggle('folded', away);
    count += away ? 1 : 0;
    if (!s.done) { real.textContent = ''; delete real.dataset.at; return; }
    real.dataset.at = clock(s.done, s.offset); /* for paper, which has no room for a field */
    if (!input) {
      var label = document.createElement('label');
      label.textContent = 'done at ';
      input = document.createElement('input');
      input.type = 'time';
      input.required = true;
      input.addEventListener('change', function () { correct(s, input); });
      label.appendChild(input);
      real.appendChild(label);
    }
    if (document.activeElement !== input) input.value = clock(s.done, s.offset);
  });
  var open = document.body.classList.contains('unfolded'), fold = $('fold');
  fold.hidden = count === 0;
  fold.textContent = (open ? 'Fold away ' : 'Show ') + count + ' done';
  fold.setAttribute('aria-expanded', open ? 'true' : 'false');
}
/* The hour that was written, on the day nearest to the one it had. */
function correct(s, input) {
  var part = /^(\d\d):(\d\d)/.exec(input.value);
  if (!part || !s.done) return;
  var day = Math.floor((s.done + s.offset) / DAY) * DAY - s.offset;
  var t = day + (+part[1] * 60 + +part[2]) * MINUTE;
  if (t - s.done > FAR) t -= DAY;
  if (s.done - t > FAR) t += DAY;
  s.done = t;
  save(); mark(); render();
}
function tick(s, on) {
  s.done = on ? Date.now() : 0;
  s.box.checked = on;
  save(); mark(); render();
}
touches.forEach(function (s) {
  s.box.addEventListener('change', function () { tick(s, s.box.checked); });
});
$('fold').addEventListener('click', function () {
  document.body.classList.toggle('unfolded');
  mark();
});

/* ------------------------------------------------------------- the board */
/* A tick that comes when all should be over only makes good what was forgotten. */
function begun(s) { return s.done && s.done < s.until ? s.done : s.at; }
function over(s) { return s.until + begun(s) - s.at; }
function ended(s) {
  return touches.some(function (other) { return other.done && other.ends.indexOf(s.li.id) >= 0; });
}
function late(t) {
  var last = lastDone();
  if (!last) return null;
  var by = last.done - due(last), next = null;
  touches.forEach(function (s) { if (!s.done && !next && s.at >= last.at) next = s; });
  if (next && t - due(next) > Math.max(by, 0)) by = t - due(next);
  return Math.abs(by) > FAR ? null : by;
}
function pick(t) {
  var last = lastDone(), recent = 0;
  touches.forEach(function (s) { if (s.at <= t) recent = s.at; });
  var is = {doing: [], running: [], next: []};
  touches.forEach(function (s) {
    var now = s.at <= t && !s.done;
    /* Who ticks nothing is shown what the plan has now, not all that was. */
    if (now && (last || s.at === recent || (!s.runs && s.until > t))) is.doing.push(s);
    if (s.runs && begun(s) <= t && over(s) > t && is.doing.indexOf(s) < 0 && !ended(s))
      is.running.push(s);
    if (s.at > t && !s.done && (!is.next.length || is.next[0].at === s.at)) is.next.push(s);
  });
  return is;
}
function line(list, s, button) {
  var li = document.createElement('li'), a = document.createElement('a');
  var word = document.createElement('b'), count = document.createElement('span');
  a.href = '#' + s.li.id;
  word.textContent = s.word;
  a.appendChild(word);
  a.appendChild(document.createTextNode(' ' + s.what));
  count.className = 'count';
  li.appendChild(a);
  li.appendChild(count);
  if (button) {
    var done = document.createElement('button');
    done.type = 'button';
    done.textContent = 'Done';
    done.setAttribute('aria-label', 'Done: ' + s.what);
    done.addEventListener('click', function () {
      tick(s, true);
      ($('doing').querySelector('button') || $('now-heading')).focus();
    });
    li.appendChild(done);
  }
  list.appendChild(li);
  return count;
}
function section(name, list, button, words) {
  var ul = $(name);
  ul.textContent = '';
  list.slice(0, MOST).forEach(function (s) {
    live.push({count: line(ul, s, button), words: words, step: s});
  });
  if (list.length > MOST) {
    var li = document.createElement('li');
    li.textContent = 'and ' + (list.length - MOST) + ' more, below';
    ul.appendChild(li);
  }
  $(name + '-part').hidden = list.length === 0;
}
function render() {
  var t = Date.now(), is = pick(t), by = late(t);
  var sign = ['doing', 'running', 'next'].map(function (part) {
    return is[part].map(function (s) { return s.li.id; }).join();
  }).join('/') + (t > end + FAR);
  if (sign !== shown) {
    shown = sign;
    live = [];
    section('doing', is.doing, true, function (s, t) {
      var left = s.until - t;
      if (s.until > s.at && !s.runs)
        return left > 0 ? span(left) + ' left' : 'was to end ' + span(-left) + ' ago';
      return t - s.at < MINUTE ? 'now' : 'since ' + span(t - s.at);
    });
    section('running', is.running, false, function (s, t) {
      return 'until ' + clock(over(s), offset(over(s))) + ', ' + span(over(s) - t);
    });
    section('next', is.next, false, function (s, t) {
      return clock(s.at, s.offset) + ', in ' + span(s.at - t);
    });
    var left = touches.filter(function (s) { return !s.done; }).length;
    $('calm').hidden = is.doing.length > 0;
    $('calm').textContent = left === 0 ? 'All is done.' : t > end + FAR ?
      'The hours of this plan are over.' : 'Nothing to do yet.';
    touches.forEach(function (s) {
      if (is.doing.slice(0, MOST).indexOf(s) >= 0) s.li.setAttribute('aria-current', 'step');
      else s.li.removeAttribute('aria-current');
    });
  }
  live.forEach(function (l) {
    var text = l.words(l.step, t);
    if (l.count.textContent !== text) l.count.textContent = text;
  });
  $('clock').textContent = clock(t, offset(t));
  var minutes = by === null ? 0 : Math.round(by / MINUTE);
  $('late').textContent = by === null ? '' : minutes === 0 ? 'to the minute' :
    span(Math.abs(minutes) * MINUTE).replace(' 00 s', '') +
    (minutes > 0 ? ' behind' : ' ahead');
  $('late').className = minutes > 0 ? 'behind' : '';
  $('kept').hidden = kept;
}

/* ------------------------------------------------------------- bell, light */
function strike() {
  if (navigator.vibrate) navigator.vibrate([300, 150, 300]);
  if (!ring || !ring.createOscillator || ring.state !== 'running') return;
  [[659, 0.5], [1318, 0.25], [1772, 0.12]].forEach(function (part) {
    var tone = ring.createOscillator(), loud = ring.createGain(), t = ring.currentTime;
    tone.frequency.value = part[0];
    loud.gain.setValueAtTime(part[1], t);
    loud.gain.exponentialRampToValueAtTime(0.001, t + 2.5);
    tone.connect(loud);
    loud.connect(ring.destination);
    tone.start(t);
    tone.stop(t + 2.5);
  });
}
function bellWords() {
  var silent = ring && ring.createOscillator && ring.state !== 'running';
  $('bell').setAttribute('aria-pressed', ring ? 'true' : 'false');
  $('bell').textContent = silent ? 'Bell: touch to let it ring' : 'Bell';
}
function bell(on, loud) {
  var Audio = window.AudioContext || window.webkitAudioContext, none = function () {};
  if (ring) ring.close();
  ring = !on ? null : Audio ? new Audio() : {resume: none, close: none};
  if (ring) {
    ring.onstatechange = bellWords;
    ring.resume();
  }
  write('bakeset bell', on ? '1' : '');
  bellWords();
  if (on && loud) setTimeout(strike, 200);
}
function touch(t) {
  var now = touches.filter(function (s) { return s.at > rung && s.at <= t && !s.done; });
  rung = t;
  if (!now.length) return;
  $('say').textContent = 'Now: ' + now.map(function (s) {
    return s.word + ' ' + s.what;
  }).join('; ');
  if (ring) strike();
}
function awake(on) {
  write('bakeset awake', on ? '1' : '');
  $('awake').setAttribute('aria-pressed', on ? 'true' : 'false');
  if (on && !lock && document.visibilityState === 'visible') {
    navigator.wakeLock.request('screen').then(function (got) {
      lock = got;
      lock.addEventListener('release', function () { lock = null; });
    }, function () { $('awake').setAttribute('aria-pressed', 'false'); });
  } else if (!on && lock) {
    lock.release();
  }
}
$('bell').addEventListener('click', function () {
  if (ring && ring.createOscillator && ring.state !== 'running') { ring.resume(); return; }
  bell(!ring, true);
});
document.addEventListener('pointerdown', function () {
  if (ring) ring.resume();
});
if (navigator.wakeLock) {
  $('awake').hidden = false;
  $('awake').addEventListener('click', function () {
    awake($('awake').getAttribute('aria-pressed') !== 'true');
  });
}

/* ------------------------------------------------------------- begin */
document.body.classList.add('live');
$('now').hidden = false;
load(); mark(); render();
if (read('bakeset bell')) bell(true, false);
if (navigator.wakeLock && read('bakeset awake')) awake(true);
setInterval(function () { touch(Date.now()); render(); }, 1000);
document.addEventListener('visibilitychange', function () {
  if (document.visibilityState !== 'visible') return;
  render();
  if (navigator.wakeLock && read('bakeset awake')) awake(true);
});
window.addEventListener('storage', function (e) {
  if (e.key === key || e.key === null) { load(); mark(); shown = ''; render(); }
});
}());
