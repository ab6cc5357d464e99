import NextAuth from 'next-auth'
import { tankroundAuth } from '@/lib/office/people/session'

const handler = NextAuth(tankroundAuth)

export { handler as GET, handler as POST }
