package org.tarebook.schedule;

import org.tarebook.plant.CodedRepository;

interface CureScheduleRepository extends CodedRepository<CureSchedule> {}
