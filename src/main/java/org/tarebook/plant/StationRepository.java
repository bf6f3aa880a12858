package org.tarebook.plant;

interface StationRepository extends CodedRepository<Station> {}
