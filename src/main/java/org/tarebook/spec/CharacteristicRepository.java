package org.tarebook.spec;

import org.tarebook.plant.CodedRepository;

interface CharacteristicRepository extends CodedRepository<Characteristic> {}
