// The chat page's script, as text for the browser: sends without leaving the page, shows progress, fetches what is new. The page
// works without it. assets.ts serves it; it uses nothing but the page's own addresses.

export const chatScript = `'use strict';
(() => {
  const entries = document.getElementById('log');
  const status = document.getElementById('status');
  const quick = document.getElementById('quick');
  const write = document.getElementById('write');
  const opening = document.getElementById('opening');
  const erase = document.getElementById('erase');
  if (!entries || !status || !quick || !write) return;
  const text = write.querySelector('textarea');
  const file = document.getElementById('file');
  const progress = document.getElementById('progress');
  const whileWaitingMs = 2000, whileIdleMs = 12000, longestText = 300000, largestLog = 5 * 1024 * 1024;
  let cursor = entries.dataset.cursor || '0.0';
  let waiting = entries.dataset.waiting === 'yes';
  let sending = false;
  let timer = 0;

  const say = (words, failed) => {
    status.textContent = words;
    status.classList.toggle('failed', failed === true);
  };

  const localTimes = (root) => {
    for (const time of root.querySelectorAll('time[datetime]')) {
      const moment = new Date(time.dateTime);
      if (!Number.isNaN(moment.getTime())) time.textContent = moment.toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });
    }
  };

  const pendingEntry = (words) => {
    const entry = document.createElement('article');
    entry.className = 'entry post';
    const header = document.createElement('header');
    const name = document.createElement('h2');
    name.textContent = 'You';
    header.append(name);
    const body = document.createElement('div');
    const said = document.createElement('div');
    said.className = 'words';
    said.textContent = words;
    body.append(said);
    entry.append(header, body);
    entries.append(entry);
    return entry;
  };

  /** Puts in what the server sent: its HTML holds every word of people escaped. */
  const take = (news) => {
    if (news.gone) { location.reload(); return; }
    let newest = null;
    for (const item of news.entries) {
      if (document.getElementById(item.key)) continue;
      entries.insertAdjacentHTML('beforeend', item.html);
      newest = document.getElementById(item.key);
      if (newest) localTimes(newest);
    }
    for (const [key, standing] of Object.entries(news.standing)) {
      const entry = document.getElementById(key);
      const note = entry && entry.querySelector('.standing');
      if (!note || entry.dataset.standing === standing) continue;
      entry.dataset.standing = standing;
      note.textContent = news.standingWords[standing] || '';
      note.hidden = false;
    }
    if ((quick.dataset.question || '') !== news.question) {
      quick.innerHTML = news.quick;
      quick.dataset.question = news.question;
    }
    if (news.entries.length > 0) {
      if (opening) opening.hidden = true;
      if (erase) erase.hidden = false;
    }
    cursor = news.cursor;
    waiting = news.waiting;
    if (waiting) say('Your post is kept; the answer is on its way...');
    else if (news.entries.length > 0) say('');
    if (newest) newest.scrollIntoView({ block: 'start' });
  };

  const refusal = async (response) => {
    try {
      const problem = await response.json();
      if (problem && typeof problem.detail === 'string') return problem.detail;
    } catch { /* not ours: the sentence below says it */ }
    return response.status === 413 ? 'That is too much text for one post.' : 'It could not be sent just now.';
  };

  /** Sends a form and tells how far a large one has got; fetch cannot tell. */
  const deliver = (body, large) => new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', '/chat/posts');
    request.setRequestHeader('Accept', 'application/json');
    request.onload = () => resolve(new Response(request.responseText, { status: request.status }));
    request.onerror = () => reject(new TypeError('no connection'));
    if (large && progress) {
      progress.hidden = false;
      request.upload.onprogress = (happening) => {
        if (!happening.lengthComputable) return;
        const share = Math.floor((100 * happening.loaded) / happening.total);
        progress.value = share;
        say(share < 100 ? 'Sending the log: ' + share + ' %' : 'Reading the log...');
      };
      request.upload.onload = () => { progress.removeAttribute('value'); say('Reading the log...'); };
    }
    request.send(body);
  });

  const send = async (words, event, form) => {
    if (sending) return;
    const typed = form === write;
    const log = typed && file && file.files ? file.files[0] : undefined;
    if (words.trim() === '' && !log) { say('Write something first.', true); text.focus(); return; }
    if (words.length > longestText) { say('That is too much text for one post: send less.', true); text.focus(); return; }
    if (log && log.size > largestLog) { say(log.name + ' is over 5 MiB: send the part that matters.', true); file.focus(); return; }
    sending = true;
    const buttons = document.querySelectorAll('#write button, #quick button');
    for (const button of buttons) button.disabled = true;
    entries.setAttribute('aria-busy', 'true');
    say(log ? 'Sending the log...' : words.length > 5000 ? 'Reading a long post...' : 'Reading your post...');
    const pending = pendingEntry(log ? (words + '\\n' + log.name).trim() : words);
    pending.scrollIntoView({ block: 'nearest' });
    if (typed) text.value = '';
    try {
      const body = new FormData();
      body.set('text', words);
      body.set('event', event);
      body.set('after', cursor);
      if (log) body.set('log', log);
      const response = await deliver(body, log !== undefined);
      pending.remove();
      if (!response.ok) throw new Error(await refusal(response));
      const news = await response.json();
      write.elements.event.value = news.event;
      if (log) file.value = '';
      take(news);
      text.focus();
    } catch (error) {
      pending.remove();
      if (typed && text.value === '') text.value = words;
      say((error instanceof TypeError ? 'No connection.' : error.message) + ' Your words are still here: send them again, they count once.', true);
      if (!typed) { for (const button of buttons) button.disabled = false; }
      text.focus();
    } finally {
      sending = false;
      if (progress) { progress.hidden = true; progress.value = 0; }
      entries.setAttribute('aria-busy', 'false');
      for (const button of document.querySelectorAll('#write button, #quick button')) button.disabled = false;
      plan();
    }
  };

  const look = async () => {
    if (!sending && document.visibilityState === 'visible') {
      try {
        const response = await fetch('/chat/entries?after=' + encodeURIComponent(cursor), { headers: { Accept: 'application/json' } });
        if (response.ok && !sending) take(await response.json());
      } catch { /* the next look may get through */ }
    }
    plan();
  };

  const plan = () => {
    clearTimeout(timer);
    timer = setTimeout(look, waiting ? whileWaitingMs : whileIdleMs);
  };

  document.addEventListener('submit', (happening) => {
    const form = happening.target;
    if (!(form instanceof HTMLFormElement) || !form.hasAttribute('data-send')) return;
    happening.preventDefault();
    const pressed = happening.submitter;
    const words = form === write ? text.value : pressed ? pressed.value : '';
    send(words, form.elements.event.value, form);
  });
  text.addEventListener('keydown', (key) => {
    if (key.key === 'Enter' && (key.ctrlKey || key.metaKey) && !key.isComposing) { key.preventDefault(); write.requestSubmit(); }
  });
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') look(); });
  localTimes(document);
  if (entries.lastElementChild) entries.lastElementChild.scrollIntoView({ block: 'start' });
  plan();
})();
`;
