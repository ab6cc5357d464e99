import { PhoneLink } from '../paper'

/** How to reach the business; nothing where it has given neither. */
export function Contact({ phone, email }: { phone: string; email: string }) {
  if (!phone && !email) return null
  return (
    <p>
      How to reach us: {phone && <PhoneLink phone={phone} />}
      {phone && email && ' · '}
      {email && <a href={`mailto:${email}`}>{email}</a>}
    </p>
  )
}
