package org.tarebook.plant;

interface InstrumentRepository extends CodedRepository<Instrument> {}
