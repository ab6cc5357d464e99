'use client'

import { CheckField, Field, type FieldOf, Fieldset, NumberField, SelectField, TextAreaField } from '@/components/forms'
import { Caution } from '@/components/paper'
import type { TankFields } from '@/lib/office/tanks/schema'

type Choice = { value: string; label: string }
type Props = {
  field: FieldOf<keyof TankFields>
  sites: readonly Choice[]
  kinds: readonly Choice[]
  /** "L", "US gal": how the business measures. */
  unit: string
}

/** All that is known of a tank, in the order in which one walks around it. */
export function TankInputs({ field, sites, kinds, unit }: Props) {
  return (
    <>
      <Fieldset legend="Which tank">
        <SelectField
          {...field('siteId')}
          label="Where does it stand?"
          hint="It belongs to the client of the site."
          placeholder="Choose a site"
          options={sites}
        />
        <Field {...field('name')} label="What is it called there?" hint="Hall, reception, quarantine 2." />
        <SelectField {...field('profile')} label="What kind of tank?" placeholder="Choose one" options={kinds} />
        <Field {...field('takenOverOn')} label="Taken on" type="date" hint="Blank: today." />
      </Fieldset>
      <Fieldset legend="Water">
        <NumberField
          {...field('volume')}
          label="True water volume"
          hint="What is in it now, sump and pipes included, rock and sand taken off. Doses are reckoned with it."
          unit={unit}
        />
        <NumberField {...field('grossVolume')} label="What the glass would hold" hint="Optional." unit={unit} />
        <NumberField
          {...field('levelMarkDisplayMm')}
          label="Level mark in the display"
          hint="From the rim down to the water, pumps running."
          unit="mm"
        />
        <NumberField
          {...field('levelMarkSumpMm')}
          label="Level mark in the sump"
          hint="From the rim down to the water, pumps running."
          unit="mm"
        />
        <CheckField
          {...field('hasStringyRefugium')}
          label="A refugium with stringy algae"
          hint="Strands clog wheels and combs."
        />
        <CheckField {...field('hasFineSand')} label="Fine sand" hint="It grinds pumps." />
      </Fieldset>
      <Fieldset legend="What may bear on how things wear">
        <CheckField
          {...field('isHeavilyStocked')}
          label="Heavily stocked or fed"
          hint="Many animals for the water, or much food."
        />
        <CheckField {...field('hasFurryPets')} label="Furry pets in the room" hint="Hair winds itself around shafts." />
        <CheckField {...field('hasHardTapWater')} label="Hard tap water" hint="Lime settles on everything warm." />
        <CheckField
          {...field('isNearKitchenOrSmoke')}
          label="Near a kitchen, or people smoke"
          hint="Grease and soot settle on fans and lamps."
        />
      </Fieldset>
      <Fieldset legend="Before anybody reaches in">
        <TextAreaField
          {...field('dangerousAnimals')}
          label="Animals that sting, bite or poison"
          hint="Each by name and where it sits. Blank: none known."
          rows={2}
        />
        <TextAreaField
          {...field('isolator')}
          label="Fuse board, isolator"
          hint="Board, number, and what else hangs on it."
          rows={2}
        />
        <TextAreaField
          {...field('shutOffs')}
          label="Shut-offs"
          hint="Water, gas and power: where each one is."
          rows={2}
        />
        <Caution local="Local codes and licensed practice decide.">
          Fixed wiring is for a licensed electrician: write down what you see, open nothing.
        </Caution>
      </Fieldset>
      <Fieldset legend="As we found it">
        <TextAreaField
          {...field('faultsAtTakeover')}
          label="Faults already there"
          hint="What was broken, worn or wrong before we touched it."
        />
        <TextAreaField {...field('note')} label="Note for us" hint="The client never sees this." rows={2} />
      </Fieldset>
    </>
  )
}
