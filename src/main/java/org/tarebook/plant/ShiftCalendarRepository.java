package org.tarebook.plant;

interface ShiftCalendarRepository extends CodedRepository<ShiftCalendar> {}
