'use server'
import { act } from '@/lib/office/people/act'
import { changePhoto } from '@/lib/office/photos/commands'
import { changePhotoSchema } from '@/lib/office/photos/schema'

/** Shows a photo to the client, keeps it to the business, or withdraws it. The tank, the visit and the client's record show it too. */
export const changePhotoAction = act({
  may: 'register.change',
  schema: changePhotoSchema,
  command: changePhoto,
  shows: ['/'],
  said: 'Saved.',
})
