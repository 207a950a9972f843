// One of our pictures as Slack takes it: by our public address where there is one, else uploaded. The sender calls it.
import type { Log } from '../../serving/log.ts';
import type { PictureSource } from './render-slack.ts';
import { isSlackAddress } from './send-privately.ts';
import type { SlackApi } from './slack-api.ts';
import type { SlackSettings } from './slack-settings.ts';

/** PNG of the picture at one of our paths (`/pictures/...`); null when there is none. */
export type RenderPicture = (path: string) => Promise<Uint8Array<ArrayBuffer> | null>;

interface PictureDeps {
  readonly api: SlackApi;
  readonly settings: SlackSettings;
  readonly renderPicture: RenderPicture;
  readonly log: Log;
}

/** @returns null when the picture cannot be shown: the reply is complete without it */
export async function slackPicture(deps: PictureDeps, token: string, path: string): Promise<PictureSource | null> {
  const { settings, log } = deps;
  if (settings.address?.startsWith('https://'))
    return { image_url: `${settings.address}${path.replace(/\.svg$/, '.png')}` };
  const uploaded = await upload(deps, token, path);
  if (uploaded === null) log.warn('slack picture left out', {});
  return uploaded === null ? null : { slack_file: { id: uploaded } };
}

/** Source: node-slack-sdk (files.uploadV2: get an address, post the bytes there, complete) */
async function upload({ api, settings, renderPicture }: PictureDeps, token: string, path: string) {
  const png = await renderPicture(path);
  if (png === null) return null;
  const asked = await api.callForm('files.getUploadURLExternal', `Bearer ${token}`, {
    filename: 'crosscount.png',
    length: String(png.length),
  });
  if (asked.kind !== 'ok') return null;
  const { upload_url: address, file_id: file } = asked.body;
  if (typeof address !== 'string' || typeof file !== 'string') return null;
  if (!isSlackAddress(address, settings.apiUrl)) return null;
  if ((await api.post(address, png, 'image/png')).kind !== 'ok') return null;
  const completed = await api.call('files.completeUploadExternal', token, {
    files: [{ id: file, title: 'crosscount' }],
  });
  return completed.kind === 'ok' ? file : null;
}
